// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/motion.hpp"

#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

Path line(const Arm& arm, const Joints& start, const Vector3d& shift, const Vector3d& turn) {
  LineRequest request;
  request.start = start;
  request.target.tcp_in_flange.translation() << 0, 0, 120;
  request.target.start_in_base = flange_in_base(arm, start) * request.target.tcp_in_flange;
  request.target.end_in_base = request.target.start_in_base;
  request.target.end_in_base.translation() += shift;
  if (turn.norm() > 0) {
    request.target.end_in_base.linear() =
        Eigen::AngleAxisd(turn.norm(), turn.normalized()) * request.target.start_in_base.linear();
  }
  request.reach_mm << 2000, 2000, 1400, 700, 400, 300;
  return follow_line(arm, request).value();
}

Joints ready() {
  Joints values;
  values << 20, 10, -60, 30, 60, -20;
  return values * (pi / 180);
}

/// The greatest share of any joint's speed and acceleration limit, sampled at 10 kHz.
std::pair<double, double> greatest_shares(const Arm& arm, const Motion& motion) {
  double speed = 0, acceleration = 0;
  for (double time = 0; time <= motion.duration(); time += 1e-4) {
    const MotionPoint point = motion_at(arm, motion, time);
    for (std::size_t j = 0; j < 6; ++j) {
      const auto joint = static_cast<Eigen::Index>(j);
      speed = std::max(speed, std::abs(point.speeds[joint]) / arm.limits[j].speed);
      acceleration = std::max(acceleration, std::abs(point.accelerations[joint]) / arm.limits[j].acceleration);
    }
  }
  return {speed, acceleration};
}

}  // namespace

TEST_CASE("the slowest joint times a joint move") {
  // Joint 1: 180° at 180°/s and 600°/s²: 1 s + 0.3 s. All others have less to do (derived).
  const Arm arm = loader_arm();
  Joints to = Joints::Zero();
  to[0] = pi;
  to[3] = 1;
  const Motion motion = joint_motion(arm, Joints::Zero(), to, {});
  CHECK(motion.duration() == Approx(1.3));
  const MotionPoint middle = motion_at(arm, motion, 0.65);
  CHECK(middle.values[0] == Approx(pi / 2));
  CHECK(middle.speeds[0] == Approx(pi));
  CHECK(middle.speeds[3] == Approx(1.0));
}

TEST_CASE("fractions of the limits slow a joint move") {
  // Half of 180°/s: 2 s; a quarter of 600°/s² at 90°/s: 0.6 s (derived).
  const Arm arm = loader_arm();
  SpeedSettings settings;
  settings.joint_speed = 0.5;
  settings.joint_acceleration = 0.25;
  CHECK(joint_motion(arm, Joints::Zero(), pi * Joints::Unit(0), settings).duration() == Approx(2.6));
}

TEST_CASE("a move that goes nowhere takes no time") {
  const Arm arm = loader_arm();
  CHECK(joint_motion(arm, ready(), ready(), {}).duration() == 0);
  const LinearTiming timing = linear_motion(arm, line(arm, ready(), Vector3d::Zero(), Vector3d::Zero()), {});
  CHECK(timing.motion.duration() == 0);
  CHECK(timing.line.held_back.joint == -1);
  CHECK((motion_at(arm, timing.motion, 0).values - ready()).norm() == 0);
}

TEST_CASE("the tool limits alone time a line that no joint holds back") {
  // 100 mm at 250 mm/s and 1000 mm/s²: 0.4 s + 0.25 s (derived).
  Arm arm = loader_arm();
  for (JointLimits& limit : arm.limits) limit.speed = limit.acceleration = 1e3;
  const LinearTiming timing = linear_motion(arm, line(arm, ready(), {0, 0, -100}, Vector3d::Zero()), {});
  CHECK(timing.motion.duration() == Approx(0.65));
  CHECK(timing.line.asked_s == timing.motion.duration());
  CHECK(timing.line.held_back.joint == -1);
}

TEST_CASE("the tool's turn times a line that turns more than it goes") {
  // 1 rad at 90°/s and 360°/s²: 2/π + 0.25 s; 10 mm would take less (derived).
  Arm arm = loader_arm();
  for (JointLimits& limit : arm.limits) limit.speed = limit.acceleration = 1e3;
  const LinearTiming timing = linear_motion(arm, line(arm, ready(), {0, 0, -10}, {0, 0, 1}), {});
  CHECK(timing.motion.duration() == Approx(2 / pi + 0.25));
}

TEST_CASE("no joint's speed or acceleration limit is exceeded anywhere on a line") {
  Random random(31);
  int held_back = 0;
  for (int i = 0; i < 25; ++i) {
    Arm arm = random.one_in(2) ? loader_arm() : offset_wrist_arm();
    for (JointLimits& limit : arm.limits)
      limit.speed = random.between(0.2, 3), limit.acceleration = random.between(0.5, 10);
    const Joints start = ready() + 0.3 * random.joints();
    LinearTiming timing;
    try {
      timing = linear_motion(arm, line(arm, start, random.point(150), random.point(0.5)), {});
    } catch (const tl::bad_expected_access<LineFailure>&) {
      continue;
    }
    const auto [speed, acceleration] = greatest_shares(arm, timing.motion);
    CHECK(speed <= 1);
    CHECK(acceleration <= 1);
    if (timing.line.held_back.joint < 0) continue;
    ++held_back;
    CHECK(timing.line.held_back.rate < timing.line.held_back.asked_rate);
    CHECK(timing.motion.duration() > timing.line.asked_s);
    CHECK(std::max(speed, acceleration) > 0.99);  // slowed no more than needed
  }
  CHECK(held_back > 10);
}

TEST_CASE("a line near a singularity is slowed until the wrist can follow") {
  const Arm arm = loader_arm();
  Joints start;
  start << 0, 20, -30, 0, 20, 0;
  start *= pi / 180;
  const Vector3d axis_5 = joint_axes(arm, arm_frames(arm, start))[4].direction;
  const Path path = line(arm, start, {0, 8, 0}, radians(-40) * axis_5);
  const LinearTiming timing = linear_motion(arm, path, {});
  CHECK(timing.line.held_back.joint >= 0);
  const auto [speed, acceleration] = greatest_shares(arm, timing.motion);
  CHECK(speed <= 1);
  CHECK(acceleration <= 1);
}
