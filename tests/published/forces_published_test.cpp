// SPDX-License-Identifier: GPL-3.0-or-later
// Grip, fixture and wrist beside worked examples. Formulas are elementary (statics, Coulomb friction, parallel axes);
// the examples' numbers are derived from them by hand unless said otherwise.
#include <catch2/catch.hpp>

#include "scene/basics/atmosphere.hpp"
#include "scene/cell/suction_force.hpp"
#include "scene/forces/cutting_force.hpp"
#include "scene/forces/modes_alone.hpp"
#include "scene/forces/suction_grip.hpp"
#include "scene/forces/wrist_load.hpp"
#include "scene/mesh/primitives.hpp"

using namespace cellproof;

namespace {

/// Four cups of 30 mm effective diameter at 60 kPa on a 60 x 40 pattern; the grip's frame is the seal plane's.
std::vector<PlacedZone> four_cups(double friction) {
  std::vector<PlacedZone> zones;
  for (const double x : {-30.0, 30.0})
    for (const double y : {-20.0, 20.0}) {
      Suction cup;
      cup.circle = 15;
      cup.vacuum = 60000;
      cup.friction = friction;
      zones.push_back({cup, Pose(Eigen::Translation3d(x, y, 0))});
    }
  return zones;
}

/// Block 150 x 100 x 25 at 2700 kg/m^3, its face in the seal plane, its centre `aside` off the middle.
RigidMass block(double aside) {
  const auto centred = rigid_mass(box_mesh({150, 100, 25}), true, {std::nullopt, 2700.0, std::nullopt});
  REQUIRE(centred);
  return placed_mass(*centred, Pose(Eigen::Translation3d(aside, 0, 12.5)));
}

/// How often the cups hold the block: gravity and acceleration in m/s^2, in the seal's axes (z into the part).
GripFactors held(double friction, const Vector3d& gravity, const Vector3d& acceleration) {
  return grip_factors(suction_grip(four_cups(friction)),
                      load_of(block(0), {1000 * acceleration, Vector3d::Zero(), Vector3d::Zero()}, 1000 * gravity));
}

constexpr double g = 9.80665;
const Vector3d down(0, 0, g), along(g, 0, 0), tilted(g*std::sqrt(0.5), 0, g*std::sqrt(0.5));
const Vector3d none = Vector3d::Zero();

}  // namespace

TEST_CASE("the block weighs 1.0125 kg and four cups pull with 169.646 N") {
  // derived: 0.15 x 0.1 x 0.025 x 2700; 4 x 2827.43 mm^2 x 60 kPa, F = vacuum times area
  CHECK(block(0).kg == Approx(1.0125).epsilon(1e-12));
  CHECK(suction_grip(four_cups(0.5)).force == Approx(169.646).epsilon(1e-5));
}

TEST_CASE("four cups hold the block by F/(F_pull + F_shear/mu) as worked by hand, dry and wet") {
  // derived; the last pair is an emergency stop: dry it never matters, wet it leaves 5 % in hand
  struct Row {
    Vector3d gravity, acceleration;
    double dry, wet;
  };
  const Row rows[] = {{down, {0, 0, -5}, 11.316, 11.316},
                      {down, {5, 0, 0}, 8.459, 2.802},
                      {along, {-5, 0, 0}, 5.658, 1.132},
                      {tilted, none, 8.054, 2.197},
                      {down, {0, 15, 0}, 4.209, 1.048}};
  for (const Row& row : rows) {
    INFO(row.gravity.transpose() << " | " << row.acceleration.transpose());
    CHECK(held(0.5, row.gravity, row.acceleration).least() == Approx(row.dry).epsilon(1e-3));
    CHECK(held(0.1, row.gravity, row.acceleration).least() == Approx(row.wet).epsilon(1e-3));
  }
}

TEST_CASE("off centre by 25 mm the near cups carry seven times what the far ones do") {
  // derived: P/4 ± P 25 30/(4 (30² + 15²/2)) with P = 1.0125 (9.80665 + 5)
  const Load load = load_of(block(25), {{0, 0, -5000}, none, none}, 1000 * down);
  const auto carried = zone_loads(suction_grip(four_cups(0.5)), load);
  REQUIRE(carried.size() == 4);
  CHECK(carried[0] == Approx(0.9717).margin(6e-4));
  CHECK(carried[1] == Approx(0.9717).margin(6e-4));
  CHECK(carried[2] == Approx(6.5242).margin(6e-4));
  CHECK(carried[3] == Approx(6.5242).margin(6e-4));
}

TEST_CASE("off centre by 25 mm the grip peels first at the rims of the cups on the heavy side") {
  // derived: at x = 45 the load takes P/L (1 + 25 45/(30² + 15²/2)) of the lips' F/L: F/(2.1111 P)
  const Load load = load_of(block(25), {{0, 0, -5000}, none, none}, 1000 * down);
  const GripFactors factors = grip_factors(suction_grip(four_cups(0.5)), load);
  CHECK(factors.peel == Approx(169.646 / (2.11111 * 1.0125 * (g + 5))).epsilon(1e-4));
  CHECK(factors.limited_by() == GripLimit::peel);
}

TEST_CASE("a vessel of 0.2 L at 30 L/min comes from 101325 to 41325 Pa in 0.3588 s") {
  // derived: (V/S) ln(p_a/p_b) = 0.4 ln(101325/41325) = 0.35875, given as 0.3588
  Suction zone;
  zone.vacuum = 60000;
  zone.volume = 0.2e6;
  zone.flow = 30e6 / 60;
  CHECK(evacuation_time(zone, 101325) == Approx(0.3588).margin(1e-4));
}

TEST_CASE("ambient pressure at geometric altitudes is as tabulated") {
  // US Standard Atmosphere 1976 = ISO 2533 here, printed table by geometric altitude, to the hundredth of a pascal
  const std::pair<double, double> table[] = {
      {0, 101325.00}, {500, 95461.29}, {1000, 89876.29}, {1500, 84559.68}, {2000, 79501.42}};
  for (const auto& [metres, pascal] : table) CHECK(ambient_pressure(1000 * metres) == Approx(pascal).margin(0.02));
}

namespace {

/// Pressed on a wet seat, friction 0.2, and pushed along it.
FixtureCase pushed(double pressing, double side) {
  FixtureCase fixture;
  fixture.contacts.friction = 0.2;
  fixture.constant = wrench_of({0, 0, -pressing}, Vector3d::Zero());
  fixture.cut.side = side;
  fixture.cut.over = {Vector2d::Zero()};
  return fixture;
}

}  // namespace

TEST_CASE("a plate of 12,600 mm2 at 80 kPa, wet, may be pushed with 100.8 N at factor 2") {
  // derived: 1008 N, 201.6 N by friction 0.2
  Suction plate;
  plate.outline = {{0, 0}, {126, 0}, {126, 100}, {0, 100}};
  plate.vacuum = 80000;
  CHECK(suction_force(plate) == Approx(1008));
  CHECK(pressed_factors(pushed(suction_force(plate), 201.6)).slip == Approx(1));
  CHECK(pressed_factors(pushed(suction_force(plate), 100.8)).slip == Approx(2));
}

TEST_CASE("the mean cutting force seems to hold, its peak slips even at factor 1") {
  // derived: unit power of wrought aluminium 0.90 kW/(cm^3/s) (Machinery's Handbook, 28th ed., tables 1a, 1b, 2, read
  // second-hand), a 12 mm cutter with three teeth at 8000 rpm, 0.08 mm a tooth, 3 x 3 mm, feed factor 1.28333,
  // wear 1.1: 0.365904 kW at 5.026548 m/s, mean 72.79 N; a single tooth's peak 264.1 N
  Cut cut;
  cut.power = 365.904;
  cut.cutting_speed = 5026.548;
  cut.peak = 1;
  CHECK(cut_forces(cut).side == Approx(72.79).margin(0.01));
  CHECK(pressed_factors(pushed(1008, cut_forces(cut).side)).slip > 2);
  cut.peak = 264.1 / 72.79;
  CHECK(cut_forces(cut).estimated());
  CHECK(cut_forces(cut).side == Approx(264.1).margin(0.05));
  CHECK(pressed_factors(pushed(1008, cut_forces(cut).side)).slip < 1);
}

TEST_CASE("gripper and part together load axes 5 and 6 as solids, not as points") {
  // derived: gripper 2.0 kg, a cylinder of radius 50 and height 120, centre 60 out; part 3.0 kg, 150 x 100 x 25, centre
  // 150 out and 40 aside; the flange 80 from axis 5
  RigidMass gripper;
  gripper.kg = 2;
  gripper.com = {0, 0, 60};
  gripper.inertia =
      Vector3d(2.0 / 12 * (3 * 50 * 50 + 120 * 120), 2.0 / 12 * (3 * 50 * 50 + 120 * 120), 50 * 50).asDiagonal();
  const auto part = rigid_mass(box_mesh({150, 100, 25}), true, {3.0, std::nullopt, std::nullopt});
  REQUIRE(part);
  const RigidMass both = mass_together(gripper, placed_mass(*part, Pose(Eigen::Translation3d(40, 0, 150))));
  CHECK(both.kg == Approx(5));
  CHECK((both.com - Vector3d(24, 0, 114)).norm() < 1e-9);

  Arm arm;
  arm.rows[4] = {0, pi / 2, 0, 0};
  arm.rows[5] = {0, 0, 80, 0};
  const WristLoad load = wrist_load(arm, Joints::Zero(), both);
  CHECK(load[1].moment_nm == Approx(9.58497).epsilon(1e-6));
  CHECK(load[2].moment_nm == Approx(1.176798).epsilon(1e-6));
  CHECK(load[1].inertia_kgm2 == Approx(0.2121312).epsilon(1e-6));
  CHECK(load[2].inertia_kgm2 == Approx(0.015425).epsilon(1e-6));

  RigidMass point = both;  // as one point the inertia would come out 9.9 % and 81 % too small
  point.inertia.setZero();
  CHECK(wrist_load(arm, Joints::Zero(), point)[1].inertia_kgm2 / 0.2121312 == Approx(1 - 0.099).margin(5e-4));
  CHECK(wrist_load(arm, Joints::Zero(), point)[2].inertia_kgm2 / 0.015425 == Approx(1 - 0.81).margin(5e-3));
}
