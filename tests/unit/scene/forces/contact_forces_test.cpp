// SPDX-License-Identifier: GPL-3.0-or-later
// What friction balances: closed forms, derived by hand unless a source is named.
#include "scene/forces/contact_forces.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

constexpr double friction = 0.3, pressing = 100;

Wrench pressed_at_the_middle(double newton = pressing) {
  return wrench_of({0, 0, -newton}, Vector3d::Zero());
}

/// Three rests on a circle, the first along y.
Contacts tripod(double radius) {
  Contacts contacts;
  for (int k = 0; k < 3; ++k)
    contacts.rests.emplace_back(radius * std::cos(pi / 2 + 2 * pi * k / 3), radius * std::sin(pi / 2 + 2 * pi * k / 3));
  contacts.friction = friction;
  return contacts;
}

/// Never above the closed form, and no more than one in 10,000 below it.
void check_from_below(double found, double exact) {
  CHECK(found <= exact * (1 + 1e-9));
  CHECK(found >= exact * (1 - 1e-4));
}

}  // namespace

TEST_CASE("two rests hold a force across their line the less the further out it acts") {
  // Given two rests 50 either way, when a force acts across their line at s from the middle, then it turns the part
  // about the far one: F (50 + s) = 2 (µ N/2) 50.
  Contacts contacts;
  contacts.rests = {{50, 0}, {-50, 0}};
  contacts.friction = friction;
  for (const double s : {0.0, 10.0, 50.0, 200.0})
    check_from_below(held_multiple(contacts, pressed_at_the_middle(), wrench_of({0, 1, 0}, {s, 0, 0})).factor,
                     friction * pressing / (1 + s / 50));
}

TEST_CASE("a tripod holds a moment of friction times pressing times radius") {
  Wrench turning = Wrench::Zero();
  turning[5] = 1;
  check_from_below(held_multiple(tripod(60), pressed_at_the_middle(), turning).factor, friction * pressing * 60);
}

TEST_CASE("a tripod holds a force the less the further out it acts") {
  // Derived from the motions that need the least power: along y the middle of turning lies on the x axis, along x it
  // is the leg across from the force.
  const double whole = friction * pressing, radius = 60;
  const double along_y[] = {0.82962, 0.61880, 0.40289, 0.29834}, along_x[] = {6 / 7., 2 / 3., 3 / 7., 4 / 13.};
  const double places[] = {0.5, 1, 2, 3};
  for (std::size_t i = 0; i < 4; ++i) {
    const double s = places[i] * radius;
    const auto y = held_multiple(tripod(radius), pressed_at_the_middle(), wrench_of({0, 1, 0}, {s, 0, 0}));
    const auto x = held_multiple(tripod(radius), pressed_at_the_middle(), wrench_of({1, 0, 0}, {0, s, 0}));
    CHECK(y.factor == Approx(along_y[i] * whole).epsilon(3e-5));
    check_from_below(x.factor, along_x[i] * whole);
  }
}

TEST_CASE("a force high above the rests tips the part before it slides") {
  // Given rests 100 apart, when a force acts 500 high, then F 500 = N 50 at the edge.
  Contacts contacts;
  contacts.rests = {{50, 50}, {50, -50}, {-50, 50}, {-50, -50}};
  contacts.friction = friction;
  const auto held = held_multiple(contacts, pressed_at_the_middle(), wrench_of({1, 0, 0}, {0, 0, 500}));
  check_from_below(held.factor, pressing * 50 / 500);
  double all = 0;
  for (const Vector3d& reaction : held.reactions) all += reaction.z();
  CHECK(all == Approx(pressing));
}

TEST_CASE("the tip of a clamp rubs as well as the rest below it") {
  // Given one clamp of 100 N over the middle of a tripod, when the part is drawn along the seat plane at the plane's
  // height, then friction is that of both sides.
  Contacts contacts = tripod(60);
  contacts.tips = {{0, 0, 0}};
  contacts.grips = {friction * pressing};
  check_from_below(held_multiple(contacts, pressed_at_the_middle(), wrench_of({1, 0, 0}, Vector3d::Zero())).factor,
                   2 * friction * pressing);
}

TEST_CASE("a ladder leans on a smooth wall only with friction enough at its foot") {
  // OpenStax, University Physics 1, example 12.6: 5 m, 400 N, 53 degrees; the wall pushes with 150.7 N, and the foot
  // needs a friction of 0.377.
  const double angle = radians(53), length = 5000;
  const Vector3d middle(length / 2 * std::cos(angle), 0, length / 2 * std::sin(angle));
  const auto stands = [&](double wall, double rub) {
    Contacts foot;
    foot.rests = {Vector2d::Zero()};
    foot.friction = rub;
    const Wrench all = wrench_of({0, 0, -400}, middle) + wrench_of({-wall, 0, 0}, 2 * middle);
    return HeldLoads(foot, all).holds_constant();
  };
  const double wall = 400 / (2 * std::tan(angle));
  CHECK(wall == Approx(150.7).margin(0.05));
  CHECK(stands(wall, 0.377));
  CHECK_FALSE(stands(wall, 0.376));
  CHECK_FALSE(stands(150, 0.5));
}

TEST_CASE("a tall block on a slope tips at 26.57 degrees and would slip at 32.21") {
  // Block twice as high as wide, friction 0.63: tan a = w/h tips, tan a = µ slips (derived).
  Contacts contacts;
  contacts.rests = {{10, 10}, {10, -10}, {-10, 10}, {-10, -10}};
  contacts.friction = 0.63;
  const auto stays = [&](double degrees, double height) {
    const double angle = radians(degrees);
    return HeldLoads(contacts, wrench_of({std::sin(angle), 0, -std::cos(angle)}, {0, 0, height})).holds_constant();
  };
  CHECK(stays(26.56, 20));
  CHECK_FALSE(stays(26.58, 20));
  CHECK(stays(32.20, 5));
  CHECK_FALSE(stays(32.22, 5));
}

TEST_CASE("what is not held by itself is not held with a load") {
  Contacts contacts = tripod(60);
  CHECK(
      held_multiple(contacts, wrench_of({0, 0, 10}, Vector3d::Zero()), wrench_of({1, 0, 0}, Vector3d::Zero())).factor <
      0);
}

TEST_CASE("no load and a load that only presses are held any number of times") {
  const Contacts contacts = tripod(60);
  CHECK(std::isinf(held_multiple(contacts, pressed_at_the_middle(), Wrench::Zero()).factor));
  CHECK(std::isinf(held_multiple(contacts, pressed_at_the_middle(), pressed_at_the_middle()).factor));
}
