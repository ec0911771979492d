// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/frame_motion.hpp"

#include <optional>

#include <catch2/catch.hpp>

#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

Arm turning_about_one_axis() {
  Arm arm;
  for (JointLimits& limit : arm.limits) limit = {-10, 10, 2, 8};
  return arm;
}

std::optional<Motion> any_line(Random& random, const Arm& arm) {
  LineRequest request;
  request.start = random.joints();
  request.target.tcp_in_flange.translation() << 10, -20, 120;
  request.target.start_in_base = flange_in_base(arm, request.start) * request.target.tcp_in_flange;
  request.target.end_in_base = request.target.start_in_base;
  request.target.end_in_base.translation() += random.point(60);
  request.target.end_in_base.linear() =
      Eigen::AngleAxisd(0.4, random.point(1).normalized()) * request.target.start_in_base.linear();
  request.reach_mm << 2000, 2000, 1400, 700, 400, 300;
  const auto path = follow_line(arm, request);
  if (!path) return std::nullopt;
  return linear_motion(arm, *path, {}).motion;
}

/// True if the acceleration is constant over the two instants about `time`.
bool away_from_switches(const Motion& motion, double time, double h) {
  for (const double at : motion.law.switches())
    if (std::abs(at - time) < 1.01 * h) return false;
  return true;
}

/// Velocity from two poses, h before and h after: central differences, the turn by its logarithm.
Twist velocity_between(const Pose& before, const Pose& after, double span) {
  const Eigen::AngleAxisd turn(after.linear() * before.linear().transpose());
  Twist velocity;
  velocity << after.translation() - before.translation(), turn.angle() * turn.axis();
  return velocity / span;
}

/// Pose, velocity and acceleration against finite differences of the pose and of the velocity.
void check_by_differences(const Arm& arm, const Motion& motion, int link, const Pose& frame, double share) {
  const double time = share * motion.duration(), h = 2e-5 * motion.duration();
  if (!away_from_switches(motion, time, h)) return;
  const auto at = [&](double instant) { return frame_motion(arm, motion_at(arm, motion, instant), link, frame); };
  const FrameMotion before = at(time - h), now = at(time), after = at(time + h);
  const double speed_size = now.velocity.norm() + 1, size = now.acceleration.norm() + speed_size / motion.duration();
  CHECK((velocity_between(before.in_base, after.in_base, 2 * h) - now.velocity).norm() < 1e-5 * speed_size);
  CHECK(((after.velocity - before.velocity) / (2 * h) - now.acceleration).norm() < 1e-5 * size);
}

}  // namespace

TEST_CASE("a frame on a turning axis has a centripetal and a tangential acceleration") {
  // Joint 1 at rest to 1 rad: speed 2 rad/s reached after 0.25 s at 8 rad/s². A point 100 mm out: r ω² inward and
  // r α along the way (elementary). At 0.125 s ω = 1 rad/s.
  const Arm arm = turning_about_one_axis();
  const Motion motion = joint_motion(arm, Joints::Zero(), Joints::Unit(0), {});
  Pose out = Pose::Identity();
  out.translation() << 100, 0, 7;
  const FrameMotion frame = frame_motion(arm, motion_at(arm, motion, 0.125), 6, out);
  const Vector3d along = frame.in_base.linear().col(1), outward = frame.in_base.linear().col(0);
  CHECK((frame.velocity.head<3>() - 100 * along).norm() < 1e-12);
  CHECK((frame.velocity.tail<3>() - Vector3d::UnitZ()).norm() < 1e-14);
  CHECK((frame.acceleration.head<3>() - 800 * along + 100 * outward).norm() < 1e-11);
  CHECK((frame.acceleration.tail<3>() - 8 * Vector3d::UnitZ()).norm() < 1e-13);
}

TEST_CASE("acceleration has two sides where the law switches") {
  const Arm arm = turning_about_one_axis();
  const Motion motion = joint_motion(arm, Joints::Zero(), Joints::Unit(0), {});
  REQUIRE(motion.law.switches().size() == 4);  // trapezoid: start, cruise, braking, end
  const auto sides = [&](double time) {
    const auto turning = [&](const MotionPoint& point) {
      return frame_motion(arm, point, 6, Pose::Identity()).acceleration[5];
    };
    return std::pair{turning(motion_before(arm, motion, time)), turning(motion_at(arm, motion, time))};
  };
  CHECK(sides(0) == std::pair{0.0, 8.0});
  CHECK(sides(motion.law.switches()[1]) == std::pair{8.0, 0.0});
  CHECK(sides(motion.law.switches()[2]) == std::pair{0.0, -8.0});
  CHECK(sides(motion.duration()) == std::pair{-8.0, 0.0});
}

TEST_CASE("the base stands still while the arm moves") {
  Random random(7);
  const Arm arm = any_arm(random);
  const Motion motion = joint_motion(arm, random.joints(), random.joints(), {});
  const FrameMotion base = frame_motion(arm, motion_at(arm, motion, 0.1), 0, any_pose(random));
  CHECK(base.velocity.norm() == 0);
  CHECK(base.acceleration.norm() == 0);
}

TEST_CASE("velocity and acceleration agree with differences of the pose on joint moves") {
  Random random(21);
  for (int i = 0; i < 60; ++i) {
    CAPTURE(i);
    const Arm arm = any_arm(random);
    const Motion motion = joint_motion(arm, random.joints(), random.joints(), {});
    const int link = i % 7;
    check_by_differences(arm, motion, link, any_pose(random), random.between(0.01, 0.99));
  }
}

TEST_CASE("velocity and acceleration agree with differences of the pose on lines") {
  Random random(22);
  int lines = 0;
  for (int i = 0; i < 40; ++i) {
    CAPTURE(i);
    const Arm arm = random.one_in(2) ? loader_arm() : offset_wrist_arm();
    const auto motion = any_line(random, arm);
    if (!motion) continue;
    ++lines;
    for (int link = 1; link <= 6; ++link) {
      check_by_differences(arm, *motion, link, any_pose(random), random.between(0.05, 0.95));
    }
  }
  CHECK(lines > 20);
}

TEST_CASE("on a line the tcp keeps its direction, and all of its acceleration is along it") {
  Random random(23);
  const Arm arm = loader_arm();
  int lines = 0;
  while (lines < 10) {
    const auto motion = any_line(random, arm);
    if (!motion) continue;
    ++lines;
    const Pose tcp_in_link6 = arm.flange_in_link6 * motion->path.target().tcp_in_flange;
    const double time = random.between(0, motion->duration());
    const LawPoint law = motion->law.at(time);
    const FrameMotion tcp = frame_motion(arm, motion_at(arm, *motion, time), 6, tcp_in_link6);
    const Twist direction = motion->path.target().direction();
    CHECK((tcp.velocity - law.rate * direction).norm() < 1e-7 * direction.norm() * law.rate);
    CHECK((tcp.acceleration - law.rate_change * direction).norm() < 1e-6 * tcp.acceleration.norm() + 1e-4);
  }
}
