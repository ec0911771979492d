// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/milling_forces.hpp"

#include <cmath>
#include <cstdlib>
#include <random>

#include <catch2/catch.hpp>

#include "kinematics/types.hpp"
#include "tests/support/milling_oracle.hpp"

using namespace cellproof;

namespace {

/// Each tooth advances by 0.1 mm, and pushes with 1000 N for each mm^2 of chip.
Cutter plain() {
  Cutter cutter;
  cutter.diameter = 10;
  cutter.teeth = 1;
  cutter.spindle = 2 * pi * 10;
  cutter.feed = 1;
  cutter.depth = 2;
  cutter.width = 10;
  cutter.kc11 = 1000;
  return cutter;
}

Cutter random_cutter(std::mt19937& random) {
  const auto between = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
  Cutter cutter;
  cutter.diameter = between(3, 60);
  cutter.teeth = std::uniform_int_distribution(1, 12)(random);
  cutter.helix = between(0, 1) < 0.2 ? 0 : between(-60, 60) * pi / 180;
  cutter.spindle = between(20, 3000);
  cutter.feed = between(0.01, 0.2) * cutter.teeth * cutter.spindle / (2 * pi);
  cutter.depth = cutter.diameter * between(0.02, 1.5);
  cutter.width = cutter.diameter * (between(0, 1) < 0.2 ? 1 : between(0.1, 1));
  cutter.centred = between(0, 1) < 0.2;
  cutter.kc11 = between(500, 2500);
  cutter.mc = between(0, 1) < 0.2 ? 0 : between(0, 0.4);
  cutter.radial = between(0, 1);
  return cutter;
}

}  // namespace

TEST_CASE("one straight tooth in a slot pushes most where its chip is thickest") {
  // derived: chip 0.1 mm, 2 mm deep, 1000 N/mm^2: 200 N along the path, 80 N along the radius
  Cutter cutter = plain();
  cutter.radial = 0.4;
  const MillingForces forces = milling_forces(cutter);
  CHECK(feed_per_tooth(cutter) == Approx(0.1));
  CHECK(thickest_chip(cutter) == Approx(0.1));
  CHECK(forces.side_peak >= std::hypot(200, 80));
  CHECK(forces.side_peak <= std::hypot(200, 80) * 1.002);
  // derived: the sine's mean over a turn of which it cuts half, 1 / pi
  CHECK(forces.side_mean == Approx(std::hypot(200, 80) / pi));
  CHECK(forces.tangential_mean == Approx(200 / pi));
  CHECK(forces.lift_peak == 0);
  CHECK(forces.thrust_peak == 0);
}

TEST_CASE("a chip of h mm takes kc1.1 h^(1-mc) for each mm of depth") {
  // derived: 1000 x 0.1^0.75 x 2
  Cutter cutter = plain();
  cutter.mc = 0.25;
  CHECK(milling_forces(cutter).side_peak == Approx(355.656).epsilon(0.002));
}

TEST_CASE("the exponent may be anything below 1, and a chip as thin as it likes") {
  Cutter cutter = plain();
  cutter.mc = 0.99;  // derived: 1000 x 0.1^0.01 x 2
  CHECK(milling_forces(cutter).side_peak == Approx(1954.48).epsilon(0.002));
  cutter.mc = 0.25;
  cutter.feed = 1e-12;  // derived: 1000 x (1e-13)^0.75 x 2
  CHECK(milling_forces(cutter).side_peak == Approx(2000 * std::pow(1e-13, 0.75)).epsilon(0.002));
  cutter.feed = 1;
  cutter.width = 1e-9;
  CHECK(milling_forces(cutter).side_peak > 0);
  CHECK(milling_forces(cutter).side_peak < 1);
}

TEST_CASE("four straight teeth in a slot push evenly, where force follows the chip") {
  // derived: the two in the part stand a quarter turn apart, sin^2 + cos^2 = 1
  Cutter cutter = plain();
  cutter.teeth = 4;
  cutter.feed = 4;
  const MillingForces forces = milling_forces(cutter);
  CHECK(forces.side_peak == Approx(200).epsilon(0.002));
  CHECK(forces.side_peak >= 200);
  CHECK(forces.side_mean == Approx(200).epsilon(1e-4));
}

TEST_CASE("a tooth with a helix in a slot pushes with the mean over its lag") {
  // derived: the lag is 1 rad, so a tooth stands from -0.5 to 0.5 about the middle: the sum of cos(u) e^(iu) over it is
  // 1/2 + sin(1)/2 = 0.920735, for an edge all at one angle 1
  Cutter cutter = plain();
  cutter.helix = std::atan(5.0 / 2);
  const MillingForces forces = milling_forces(cutter);
  CHECK(forces.side_peak == Approx(200 * 0.920735).epsilon(0.002));
  CHECK(forces.side_peak >= 200 * 0.920735);
  // derived: along the axis tan(helix) = 2.5 times the force along the path, 2 sin(1/2) = 0.958851 of the greatest
  CHECK(forces.lift_peak == Approx(2.5 * 200 * 0.958851).epsilon(0.002));
  CHECK(forces.lift_peak >= 2.5 * 200 * 0.958851);
  CHECK(forces.thrust_peak == 0);
}

TEST_CASE("a left-hand helix thrusts as a right-hand one lifts") {
  Cutter right = plain(), left = plain();
  right.helix = 0.6;
  left.helix = -0.6;
  CHECK(milling_forces(left).thrust_peak == milling_forces(right).lift_peak);
  CHECK(milling_forces(left).lift_peak == 0);
  CHECK(milling_forces(left).side_peak == milling_forces(right).side_peak);
}

TEST_CASE("force along the path times speed is force per chip area times what is removed") {
  // derived, for mc = 0: energy; 1000 N/mm^2 x depth x width x feed, whatever the helix
  for (const double helix : {0.0, 0.2, 0.7, 1.2, 1.5})
    for (const int teeth : {1, 3, 7}) {
      Cutter cutter = plain();
      cutter.helix = helix;
      cutter.teeth = teeth;
      cutter.width = 3.5;
      CHECK(milling_forces(cutter).tangential_mean * cutting_speed(cutter) == Approx(1000 * 2 * 3.5 * 1));
    }
}

TEST_CASE("a helix too small to see pushes as none, and one that runs round many times evenly") {
  Cutter cutter = plain();
  cutter.teeth = 3;
  cutter.width = 4;
  const double straight = milling_forces(cutter).side_peak;
  for (const double helix : {1e-15, 1e-9, 1e-6, 1e-4}) {
    cutter.helix = helix;
    CHECK(milling_forces(cutter).side_peak == Approx(straight).epsilon(0.003));
  }
  // derived: each angle has as much edge as each other, 2 mm x 3 / (2 pi) a rad; the sum of sin(a) e^(ia) up to
  // a = acos(0.2) is (sin^2(a) / 2, a / 2 - sin(2 a) / 4)
  cutter.helix = std::atan(2 * pi * 40 * 5 / 2.0);
  const double a = std::acos(0.2), chip = 0.1 / 3;
  const double even = std::hypot(std::pow(std::sin(a), 2) / 2, a / 2 - std::sin(2 * a) / 4);
  CHECK(milling_forces(cutter).side_peak == Approx(1000 * chip * 2 * 3 / (2 * pi) * even).epsilon(0.003));
  CHECK(milling_forces(cutter).side_mean == Approx(1000 * chip * 2 * 3 / (2 * pi) * even).epsilon(0.001));
}

TEST_CASE("what random mills push with is what the sum over small pieces of their edges says") {
  std::mt19937 random(20);
  const int cutters = std::getenv("CELLPROOF_LONG") != nullptr ? 100 : 10;
  for (int i = 0; i < cutters; ++i) {
    const Cutter cutter = random_cutter(random);
    CAPTURE(i, cutter.teeth, cutter.helix, cutter.width / cutter.diameter, cutter.depth / cutter.diameter, cutter.mc);
    const MillingForces forces = milling_forces(cutter);
    const auto summed = test::summed_forces(cutter, cutter.helix == 0 ? 4000 : 200 + 600 / cutter.teeth);
    CHECK(forces.side_peak >= 0.999 * summed.side_peak);
    CHECK(forces.side_peak <= 1.02 * summed.side_peak);
    const double axial = forces.lift_peak + forces.thrust_peak;
    CHECK(axial >= 0.999 * summed.axial_peak);
    CHECK(axial <= 1.02 * summed.axial_peak);
    CHECK(forces.side_mean == Approx(summed.side_mean).epsilon(0.01));
    CHECK(forces.tangential_mean == Approx(summed.tangential_mean).epsilon(0.01));
  }
}
