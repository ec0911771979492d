// SPDX-License-Identifier: GPL-3.0-or-later
// Shares of targets behind fine screens against areas found by another way: see sight_oracle.hpp.
#include "tests/support/sight_oracle.hpp"

#include <cstdlib>

#include <catch2/catch.hpp>

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("A screen of fine wires is seen through as far as it is open") {
  // Given wires of 0.05 mm every mm of the target's shadow, at half of its distance: 100 of 60 mm across, none missing
  SightCase one;
  one.camera = camera_60_degrees();
  one.target = facing_target({0, 0, 400}, 60, 60);
  for (int i = -50; i <= 50; ++i)
    add_bar(one.blockers, at(0, 0, 200), Vector2d(0, 0.5 * (i + 0.3)), 0, 200, 0.5 * 0.05, 1e-4);
  // then 95 % of it are open (derived: 1 - 0.05 / 1; the wires' thickness adds less than 0.001 %)
  CHECK(look_at(one).target().visible == Approx(0.95).margin(1e-4));
}

TEST_CASE("A target with a speck before it is not seen whole") {
  // Given a speck of a thousandth of a millimetre, far smaller than the lines across the target lie apart
  SightCase one;
  one.camera = camera_60_degrees();
  one.target = facing_target({0, 0, 400}, 60, 60);
  for (const double x : {0.1, 1.234, -3.3}) {
    one.blockers = {};
    add_bar(one.blockers, at(0, 0, 200), Vector2d(x, 0.77 * x), 0.3, 1e-3, 1e-3, 1e-4);
    const TargetView view = look_at(one).target();
    // then a little less than all of it is seen, and that is not enough where all is asked
    CHECK(view.visible < 1);
    CHECK(view.visible > 0.9999);
    CHECK(view.blocked_by.size() == 1);
    CHECK_FALSE(sees_enough(view, 1));
    CHECK(sees_enough(view, 0.98));
  }
  // and beside the target it hides nothing
  one.blockers = {};
  add_bar(one.blockers, at(0, 0, 200), Vector2d(15.01, 0), 0, 1e-3, 1e-3, 1e-4);
  CHECK(look_at(one).target().visible == 1);
}

TEST_CASE("What is asked is judged by the careful end of the share") {
  TargetView view;
  view.visible = 0.9805;  // within 0.001 of what is asked
  CHECK_FALSE(sees_enough(view, 0.98));
  view.visible = 0.9811;
  CHECK(sees_enough(view, 0.98));
  view.visible = 1;
  CHECK(sees_enough(view, 1));
  view.visible = 0;
  CHECK(sees_enough(view, 0));
}

TEST_CASE("Shares behind screens agree with exact areas and lean to neither side") {
  const int cases = std::getenv("CELLPROOF_LONG") != nullptr ? 210 : 28;
  double signed_sum = 0, absolute_sum = 0;
  for (int i = 0; i < cases; ++i) {
    const SightCase one = sight_case(i);
    const Shares exact = shares_by_rows(one, 400, 200);
    const TargetView view = look_at(one).target();
    INFO(one.name);
    CHECK(view.visible == Approx(exact.visible).margin(share_tolerance));
    CHECK(view.in_frame == Approx(exact.in_frame).margin(share_tolerance));
    signed_sum += view.visible - exact.visible;
    absolute_sum += std::abs(view.visible - exact.visible);
  }
  CHECK(std::abs(signed_sum / cases) < 5e-5);
  CHECK(absolute_sum / cases < 1e-4);
}

TEST_CASE("Shares are the same to the bit on any number of threads") {
  for (const int number : {2, 5, 12}) {
    Look look = look_at(sight_case(number));
    look.request.threads = 1;
    const TargetView alone = look.target();
    look.request.threads = 2;
    const TargetView shared = look.target();
    CHECK(shared.visible == alone.visible);
    CHECK(shared.in_frame == alone.in_frame);
    CHECK(shared.blocked_by.front().share == alone.blocked_by.front().share);
  }
}
