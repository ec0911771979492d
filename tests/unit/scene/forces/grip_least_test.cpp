// SPDX-License-Identifier: GPL-3.0-or-later
// Loads of a moving part beside finite differences of its pose, and the least of a grip beside brute force.
#include "scene/forces/grip_least.hpp"

#include <random>

#include <catch2/catch.hpp>

#include "scene/forces/suction_grip.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

Arm small_arm() {
  return cell_of(head).arm.arm;
}

HeldPart any_part() {
  HeldPart part;
  part.in_flange.kg = 1.7;
  part.in_flange.com = {40, -25, 160};
  part.in_flange.inertia = Vector3d(2000, 5000, 6000).asDiagonal();
  part.tcp_in_flange = Eigen::Translation3d(10, 5, 120) * Eigen::AngleAxisd(0.4, Vector3d(1, 2, 3).normalized());
  return part;
}

Motion any_move(const Arm& arm, std::mt19937& engine) {
  std::uniform_real_distribution<double> value(-1.2, 1.2);
  Joints from, to;
  for (Eigen::Index j = 0; j < 6; ++j) {
    from[j] = value(engine);
    to[j] = value(engine);
  }
  return joint_motion(arm, from, to, {});
}

Pose tcp_in_base(const Arm& arm, const HeldPart& part, const Motion& motion, double time) {
  return flange_in_base(arm, motion_at(arm, motion, time).values) * part.tcp_in_flange;
}

Vector3d turn_between(const Eigen::Matrix3d& a, const Eigen::Matrix3d& b) {
  const Eigen::AngleAxisd turn(b * a.transpose());
  return turn.angle() * turn.axis();
}

SuctionGrip three_cups() {
  std::vector<PlacedZone> zones;
  for (const double angle : {0.0, 2.1, 4.2}) {
    Suction cup;
    cup.circle = 18;
    cup.vacuum = 55000;
    cup.friction = 0.3;
    zones.push_back({cup, Pose(Eigen::Translation3d(60 * std::cos(angle), 60 * std::sin(angle), 0))});
  }
  return suction_grip(zones);
}

}  // namespace

TEST_CASE("a held part's load is that of finite differences of its pose") {
  // 1e-5 of the load, away from switches of the law; the differences use the pose alone
  const Arm arm = small_arm();
  const HeldPart part = any_part();
  std::mt19937 engine{3};
  std::uniform_real_distribution<double> share(0.02, 0.98);
  int compared = 0;
  for (int round = 0; round < 200; ++round) {
    const Motion motion = any_move(arm, engine);
    const double t = share(engine) * motion.duration(), h = 1e-3;
    bool near_switch = false;
    for (const double at : motion.law.switches()) near_switch = near_switch || std::abs(at - t) < 4 * h;
    if (near_switch) continue;
    const auto pose = [&](int i) { return tcp_in_base(arm, part, motion, t + i * h); };
    const Vector3d com_in_tcp = part.tcp_in_flange.inverse() * part.in_flange.com;
    const auto com = [&](int i) -> Vector3d { return pose(i) * com_in_tcp; };
    // fourth order: (-f2 + 16 f1 - 30 f0 + 16 f-1 - f-2)/(12 h²)
    const Vector3d acceleration = (-com(2) + 16 * com(1) - 30 * com(0) + 16 * com(-1) - com(-2)) / (12 * h * h);
    const auto turning = [&](int i) -> Vector3d {
      return (8 * turn_between(pose(i - 1).linear(), pose(i + 1).linear()) -
              turn_between(pose(i - 2).linear(), pose(i + 2).linear())) /
             (12 * h);
    };
    const Vector3d spin = turning(0), change = (8 * (turning(1) - turning(-1)) - (turning(2) - turning(-2))) / (12 * h);
    const Eigen::Matrix3d to_tcp = pose(0).linear().transpose();
    const Load expected =
        load_of(placed_mass(part.in_flange, part.tcp_in_flange.inverse()),
                {to_tcp * acceleration, to_tcp * spin, to_tcp * change}, to_tcp * Vector3d(0, 0, -standard_gravity));
    const Load ours = held_load(arm, part, motion_at(arm, motion, t));
    CHECK((ours.force - expected.force).norm() < 1e-5 * (1 + expected.force.norm()));
    CHECK((ours.moment - expected.moment).norm() < 1e-5 * (1 + expected.moment.norm()));
    ++compared;
  }
  CHECK(compared > 100);
}

TEST_CASE("the least of a grip over a move is no higher than any of 20,000 instants") {
  const Arm arm = small_arm();
  const HeldPart part = any_part();
  const SuctionGrip cups = three_cups();
  std::mt19937 engine{11};
  for (int round = 0; round < 5; ++round) {
    const Motion motion = any_move(arm, engine);
    const GripMove move{arm, motion, part, [&](const Load& load) { return grip_factors(cups, load); }, std::nullopt};
    const GripLeast found = least_grip(move);
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i <= 20000; ++i) {
      const double t = motion.duration() * i / 20000;
      least = std::min(least, grip_factors(cups, held_load(arm, part, motion_at(arm, motion, t))).least());
      least = std::min(least, grip_factors(cups, held_load(arm, part, motion_before(arm, motion, t))).least());
    }
    CHECK(found.moving.factors.least() <= least * (1 + 1e-6));
    CHECK(found.moving.factors.least() >= least * (1 - 1e-3));
  }
}

TEST_CASE("a stop is felt at every instant, and softer stops hold better") {
  const Arm arm = small_arm();
  const HeldPart part = any_part();
  const SuctionGrip cups = three_cups();
  std::mt19937 engine{12};
  const Motion motion = any_move(arm, engine);
  GripMove move{arm, motion, part, [&](const Load& load) { return grip_factors(cups, load); }, 30000.0};
  const GripLeast hard = least_grip(move);
  REQUIRE(hard.stopped);
  CHECK(hard.stop_is_least());
  move.stop = 10000;
  CHECK(least_grip(move).stopped->factors.least() > hard.stopped->factors.least());
}

TEST_CASE("a stop along a straight line brakes against the velocity") {
  // derived: at 0.25 m/s, 15 m/s^2 against +x, no curvature
  const LawPoint stop = stopping({0.5, 0.25, 0}, 250, Joints::Zero(), {15000});
  CHECK(stop.rate_change == Approx(-15));  // of 1000 mm a unit of s
  CHECK(stopping({0, 0, 4}, 0, Joints::Zero(), {15000}).rate_change == 0);
}

TEST_CASE("a stop is no harder than any joint stops by itself") {
  // derived: a joint at 2 rad/s that stops with 10 rad/s^2 slows by 5 of its rate a second
  StopLimits limits{15000, Joints::Constant(std::numeric_limits<double>::infinity())};
  limits.joints[5] = 10;
  const Joints turning{0, 0, 0, 0, 0, -2};
  CHECK(stopping({0.5, 0.25, 0}, 0, turning, limits).rate_change == Approx(-5 * 0.25));
  CHECK(stopping({0.5, 0.25, 0}, 250, turning, limits).rate_change == Approx(-5 * 0.25));
  CHECK(stopping({0.5, 0.25, 0}, 5000, turning, limits).rate_change == Approx(-3 * 0.25));
}

TEST_CASE("a move of joint 6 with the tcp on its axis only turns, one with the tcp aside does not") {
  const Arm arm = small_arm();
  HeldPart part = any_part();
  part.tcp_in_flange = Eigen::Translation3d(0, 0, 120);
  const Joints from{0.1, -0.2, 0.3, 0.4, -0.5, 0.6};
  Joints to = from;
  to[5] += 1;
  CHECK(only_turns(arm, part, Path::joint(from, to)));
  part.tcp_in_flange = Eigen::Translation3d(5, 0, 120);
  CHECK_FALSE(only_turns(arm, part, Path::joint(from, to)));
  CHECK_FALSE(only_turns(arm, part, Path::joint(from, from)));
}

TEST_CASE("where the tcp only turns a stop is known by the joints that move, or not at all") {
  const Arm arm = small_arm();
  HeldPart part = any_part();
  part.tcp_in_flange = Eigen::Translation3d(0, 0, 120);
  const Joints from{0.1, -0.2, 0.3, 0.4, -0.5, 0.6};
  Joints to = from;
  to[5] += 1;
  const SuctionGrip cups = three_cups();
  const Motion motion = joint_motion(arm, from, to, {});
  GripMove move{arm, motion, part, [&](const Load& load) { return grip_factors(cups, load); }, 15000.0};
  CHECK(least_grip(move).stop_by_joints);
  CHECK_FALSE(least_grip(move).stopped);
  move.joint_stops[5] = 50;
  REQUIRE(least_grip(move).stopped);
  const double hard = least_grip(move).stopped->factors.least();
  CHECK(hard > 0);
  move.joint_stops[5] = 25;
  CHECK(least_grip(move).stopped->factors.least() > hard);
}

TEST_CASE("slowed by what is found, the move holds as often as asked and hardly more") {
  const Arm arm = small_arm();
  const HeldPart part = any_part();
  const SuctionGrip cups = three_cups();
  std::mt19937 engine{13};
  const Motion motion = any_move(arm, engine);
  GripMove move{arm, motion, part, [&](const Load& load) { return grip_factors(cups, load); }, std::nullopt};
  const double now = least_grip(move).least().factors.least();
  const auto slowness = slowness_needed(move, 1.1 * now);
  REQUIRE(slowness);
  CHECK(*slowness < 1);
  move.slowness = *slowness;
  CHECK(least_grip(move).least().factors.least() >= 1.1 * now);
  CHECK(least_grip(move).least().factors.least() < 1.12 * now);
  CHECK_FALSE(slowness_needed(move, 1000));
}
