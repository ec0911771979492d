// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/time_law.hpp"

#include <cmath>
#include <stdexcept>
#include <utility>

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("a trapezoid takes distance over speed plus speed over acceleration") {
  // T = 1/v + v/a: 1/0.5 + 0.5/2 = 2.25 s, of which 0.25 s each speeding up and slowing down.
  const TimeLaw law(0.5, 2);
  CHECK(law.duration() == Approx(2.25));
  CHECK(law.at(0.25).s == Approx(0.0625));
  CHECK(law.at(1.125).s == Approx(0.5));
  CHECK(law.at(1.125).rate == Approx(0.5));
  CHECK(law.at(1.125).rate_change == 0);
}

TEST_CASE("a short move is a triangle") {
  // a < v²: T = 2/√a = 2 s for a = 1, peak 1.
  const TimeLaw law(5, 1);
  CHECK(law.duration() == Approx(2));
  CHECK(law.at(1).rate == Approx(1));
  CHECK(law.at(0.5).s == Approx(0.125));
}

TEST_CASE("at a switch the later acceleration is given") {
  const TimeLaw law(0.5, 2);
  CHECK(law.at(0).rate_change == 2);
  CHECK(law.at(0.25).rate_change == 0);
  CHECK(law.at(2.0).rate_change == -2);
  CHECK(law.at(2.25).rate_change == 0);
}

TEST_CASE("time is held within the law") {
  const TimeLaw law(0.5, 2);
  CHECK(law.at(-1).s == 0);
  CHECK(law.at(99).s == 1);
  CHECK(law.at(99).rate == 0);
}

TEST_CASE("a law of a move that goes nowhere is over at once") {
  const TimeLaw law;
  CHECK(law.duration() == 0);
  CHECK(law.at(0).s == 1);
  CHECK(law.time_at(0.5) == 0);
}

TEST_CASE("s, its rate and its rate of change agree") {
  for (const auto& [speed, acceleration] : {std::pair{0.5, 2.0}, std::pair{5.0, 1.0}, std::pair{1.0, 1.0}}) {
    const TimeLaw law(speed, acceleration);
    constexpr double h = 1e-6;
    double last = 0;
    for (int i = 1; i < 1000; ++i) {
      const double time = law.duration() * i / 1000.0 + 1.3e-5;
      const LawPoint point = law.at(time), ahead = law.at(time + h), behind = law.at(time - h);
      CHECK(point.s > last);
      last = point.s;
      CHECK(point.rate == Approx((ahead.s - behind.s) / (2 * h)).margin(1e-5));
      CHECK(law.time_at(point.s) == Approx(time).margin(1e-9));
    }
    CHECK(law.at(law.duration()).s == 1);
    CHECK(law.time_at(1) == Approx(law.duration()));
    CHECK(law.time_at(0) == 0);
  }
}

TEST_CASE("a law by its rates runs evenly accelerated from place to place") {
  // 0 to 2 over 0.4: u = 2² / 0.8 = 5, 0.4 s; to 1 over 0.5: u = −3, 1/3 s; to rest over 0.1: u = −5, 0.2 s (derived).
  const TimeLaw law({{0, 0}, {0.4, 2}, {0.9, 1}, {1, 0}});
  CHECK(law.duration() == Approx(0.4 + 1.0 / 3 + 0.2));
  CHECK(law.switches().size() == 4);
  CHECK(law.at(0.2).rate == Approx(1));
  CHECK(law.at(0.2).s == Approx(0.1));
  CHECK(law.before(0.4).rate_change == Approx(5));
  CHECK(law.at(0.4).rate_change == Approx(-3));
  CHECK(law.at(0.4).rate == Approx(2));
  CHECK(law.before(law.duration()).rate_change == Approx(-5));
  CHECK(law.before(0).rate_change == 0);
  double last = -1;
  for (int i = 0; i <= 1000; ++i) {
    const double time = law.duration() * i / 1000;
    const LawPoint point = law.at(time);
    CHECK(point.s > last);
    CHECK(law.time_at(point.s) == Approx(time).margin(1e-9));
    last = point.s;
  }
}

TEST_CASE("a law refuses rates that lead nowhere") {
  CHECK_THROWS_AS(TimeLaw({{0, 0}, {1, 0}}), std::invalid_argument);
  CHECK_THROWS_AS(TimeLaw({{0, 0}, {0.5, 0}, {1, 0}}), std::invalid_argument);
  CHECK_THROWS_AS(TimeLaw({{0, 0}, {0.5, 1}, {0.5, 1}, {1, 0}}), std::invalid_argument);
}
