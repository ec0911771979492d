// SPDX-License-Identifier: GPL-3.0-or-later
// Mills beside printed examples. Their force per chip area is one number, which is kc1.1 with an exponent of 0.
#include <catch2/catch.hpp>

#include "kinematics/types.hpp"
#include "scene/forces/milling_forces.hpp"

using namespace cellproof;

namespace {

constexpr double rpm = 2 * pi / 60, per_minute = 1.0 / 60;

double kilowatt(const Cutter& cutter) {
  return milling_forces(cutter).tangential_mean * cutting_speed(cutter) / 1e6;
}

}  // namespace

TEST_CASE("a face mill of 250 mm takes the power that is printed for it") {
  // Mitsubishi Materials, "Cutting power for face milling" (read in excerpt): 12 teeth, 80 m/min, 2 mm deep, 80 wide,
  // 280 mm/min, kc 1800, efficiency 0.8: 101.9 rpm, 0.228 mm a tooth (0.2291 by its own rpm, cut off), 1.68 kW
  Cutter cutter;
  cutter.diameter = 250;
  cutter.teeth = 12;
  cutter.spindle = 80000 * per_minute / 125;
  cutter.feed = 280 * per_minute;
  cutter.depth = 2;
  cutter.width = 80;
  cutter.kc11 = 1800;
  CHECK(cutter.spindle / rpm == Approx(101.9).margin(0.05));
  CHECK(feed_per_tooth(cutter) == Approx(0.228).margin(0.0012));
  CHECK(kilowatt(cutter) / 0.8 == Approx(1.68).margin(0.005));
  // derived: so it does with the work before its middle, and with a helix
  cutter.centred = true;
  cutter.helix = 0.3;
  CHECK(kilowatt(cutter) / 0.8 == Approx(1.68).margin(0.005));
}

TEST_CASE("a face mill over the middle of the work is in it for 97 degrees") {
  // Seco, Power Calc (read in excerpt): diameter 6.3 in, 7 teeth, 4.72 in wide and centred, 0.0083 in a tooth, edges at
  // 45 degrees, 705 ft/min: engagement 97 degrees, mean chip 0.0052 in. Ours stand at 90 degrees, so its sine comes on.
  Cutter cutter;
  cutter.diameter = 6.3 * mm_per_inch;
  cutter.width = 4.72 * mm_per_inch;
  cutter.centred = true;
  const auto [from, to] = engagement(cutter);
  CHECK((to - from) * 180 / pi == Approx(97).margin(0.5));
  const double mean_chip = 0.0083 * (std::cos(from) - std::cos(to)) / (to - from) * std::sin(pi / 4);
  CHECK(mean_chip == Approx(0.0052).margin(0.00005));
}

TEST_CASE("a slot takes the force and the power that are printed for it") {
  // H. El-Hofy, Fundamentals of Machining Processes, 2nd ed., p. 189 (read in excerpt): a slot 30 wide and 4 deep, 8
  // teeth, 0.1 mm a tooth, 120 mm/min, 1000 N/mm^2: 150 rpm, 14.13 m/min, mean 1019 N, 0.24 kW
  Cutter cutter;
  cutter.diameter = 30;
  cutter.teeth = 8;
  cutter.spindle = 150 * rpm;
  cutter.feed = 120 * per_minute;
  cutter.depth = 4;
  cutter.width = 30;
  cutter.kc11 = 1000;
  CHECK(feed_per_tooth(cutter) == Approx(0.1));
  CHECK(cutting_speed(cutter) / 1000 / per_minute == Approx(14.13).margin(0.01));
  CHECK(milling_forces(cutter).tangential_mean == Approx(1019).margin(0.5));
  CHECK(kilowatt(cutter) == Approx(0.24).margin(0.005));
}

TEST_CASE("a 12 mm mill 3 mm wide in wrought aluminium: engagement, chip and a tooth's peak") {
  // derived: three teeth, 8000 rpm, 0.08 mm a tooth, 3 x 3 mm: in the part for 60 degrees, chip 0.08 sin(60); by
  // 900 N/mm^2 x 1.28333 x 1.1 (the unit power of the example in forces_published_test) a tooth pushes with 264.1 N
  Cutter cutter;
  cutter.diameter = 12;
  cutter.teeth = 3;
  cutter.spindle = 8000 * rpm;
  cutter.feed = 0.08 * 3 * 8000 * per_minute;
  cutter.depth = 3;
  cutter.width = 3;
  cutter.kc11 = 900 * 1.28333 * 1.1;
  CHECK(engagement(cutter).to * 180 / pi == Approx(60));
  CHECK(thickest_chip(cutter) == Approx(0.0692820).margin(5e-8));
  CHECK(milling_forces(cutter).side_peak == Approx(264.1).epsilon(0.002));
}
