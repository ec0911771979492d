// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/jaw_grip.hpp"

#include <cmath>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

Jaw jaw_with(std::optional<Vector2d> pad) {
  Jaw jaw;
  jaw.force = 400;
  jaw.friction = 0.2;
  jaw.pad = pad;
  return jaw;
}

GripFactors held(const Jaw& jaw, const Vector3d& force, const Vector3d& moment) {
  Load load;
  load.force = force;
  load.moment = moment;
  return grip_factors(jaw, load);
}

/// The power of friction N = 1, µ = 1 on an evenly pressed rectangle that turns about (x, y), by many points.
double turned_about(const Vector2d& size, double x, double y) {
  constexpr int count = 400;
  double sum = 0;
  for (int i = 0; i < count; ++i)
    for (int k = 0; k < count; ++k)
      sum += std::hypot(size.x() * ((i + 0.5) / count - 0.5) - x, size.y() * ((k + 0.5) / count - 0.5) - y);
  return sum / (count * count);
}

}  // namespace

TEST_CASE("pads hold a turn about the line through them as rectangles evenly pressed") {
  // M/(µN) = (1/3)(d + p²/(2q) asinh(q/p) + q²/(2p) asinh(p/q)), half sides p, q, d = √(p² + q²), from memory,
  // recomputed: 0.38260 of the side of a square, 0.59323 of the short side of a rectangle 2 x 1
  for (const auto& [size, factor] : {std::pair{Vector2d(10, 10), 3.8260}, std::pair{Vector2d(10, 20), 5.9323}}) {
    const double moment = 2 * 0.2 * 400 * factor;
    const double slip = held(jaw_with(size), {0, 0, 0}, {moment, 0, 0}).slip;
    CHECK(slip <= 1);
    CHECK(slip >= 0.995);
  }
}

TEST_CASE("a side force and a turn together are held by less than each alone, and by no motion more") {
  // derived: turning about (x, 0) of the pad takes the power of friction from T + x F, whatever x: an upper bound
  const Vector2d size(20, 12);
  const double force = 2 * 0.2 * 400 * 0.5, moment = 2 * 0.2 * 400 * 4;
  const double slip = held(jaw_with(size), {0, 0, force}, {moment, 0, 0}).slip;
  double least = std::numeric_limits<double>::infinity();
  for (double x = 0; x < 60; x += 0.05) {
    const double power = 2 * 0.2 * 400 * turned_about(size, x, 0);
    least = std::min(least, power / (moment + x * force));
    if (x > 20) x += 1;
  }
  CHECK(slip <= least * (1 + 1e-6));
  CHECK(slip >= least * 0.995);
}

TEST_CASE("moments across the closing line are held while each pad's pressure stands within the pad") {
  // derived: half of the moment a pad, 400 N at half its width at most
  CHECK(held(jaw_with(Vector2d(20, 12)), {0, 0, 0}, {0, 0, 4000}).peel == Approx(2 * 400 * 10 / 4000.0));
  CHECK(held(jaw_with(Vector2d(20, 12)), {0, 0, 0}, {0, 4000, 0}).peel == Approx(2 * 400 * 6 / 4000.0));
  // derived: a load of 100 N along x leaves 400 - 50 t on one pad
  CHECK(held(jaw_with(Vector2d(20, 12)), {100, 0, 0}, {0, 0, 4000}).peel == Approx(400 * 10 / (2000.0 + 50 * 10)));
}

TEST_CASE("where pressure stands aside, less of the pad holds against a turn") {
  // derived: at the multiple t a turn M and a moment t A about z leave a pad 20 - t A/400 wide, to hold t M/2
  const double twist = 2 * 0.2 * 400 * 2.0, across = 3000;
  const double slip = held(jaw_with(Vector2d(20, 12)), {0, 0, 0}, {twist, 0, across}).slip;
  const double left = 20 - slip * across / 400;
  CHECK(left > 0);
  CHECK(0.2 * 400 * turned_about({left, 12}, 0, 0) == Approx(slip * twist / 2).epsilon(0.01));
  CHECK(0.2 * 400 * turned_about({left, 12}, 0, 0) >= slip * twist / 2 * (1 - 1e-6));
}

TEST_CASE("of two pads the one that a load along the closing line lifts must hold half of the side force") {
  // derived: 0.2 (400 - 50 t) = 30 t
  CHECK(held(jaw_with(std::nullopt), {100, 0, 60}, {0, 0, 0}).slip == Approx(0.2 * 400 / (30 + 0.2 * 50)));
}

TEST_CASE("without a size of the pads nothing is said of turning") {
  const GripFactors factors = held(jaw_with(std::nullopt), {0, 0, 60}, {5000, 5000, 5000});
  CHECK(factors.slip == Approx(2 * 0.2 * 400 / 60));
  CHECK(std::isinf(factors.peel));
}

TEST_CASE("a load that only rounding makes demands nothing") {
  Jaw jaw;
  jaw.force = 400;
  jaw.friction = 0.2;
  Load load;
  load.force = Vector3d(1e-15, 0, 0);
  const GripFactors factors = grip_factors(jaw, load);
  CHECK(std::isinf(factors.pull));
  CHECK(std::isinf(factors.slip));
}
