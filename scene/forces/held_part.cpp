// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/held_part.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/motion/frame_motion.hpp"

namespace cellproof {

namespace {

/// The part's frame of motion: the tcp's axes at the part's centre of mass.
FrameMotion com_motion(const Arm& arm, const HeldPart& part, const MotionPoint& point) {
  Pose in_flange = part.tcp_in_flange;
  in_flange.translation() = part.in_flange.com;
  return frame_motion(arm, point, 6, arm.flange_in_link6 * in_flange);
}

}  // namespace

Load held_load(const Arm& arm, const HeldPart& part, const MotionPoint& point) {
  const FrameMotion com = com_motion(arm, part, point);
  const Eigen::Matrix3d to_tcp = com.in_base.linear().transpose();
  const Vector3d gravity = part.base_in_world.transpose() * Vector3d(0, 0, -standard_gravity);
  const RigidMotion motion{to_tcp * com.acceleration.head<3>(), to_tcp * com.velocity.tail<3>(),
                           to_tcp * com.acceleration.tail<3>()};
  return load_of(placed_mass(part.in_flange, part.tcp_in_flange.inverse()), motion, to_tcp * gravity);
}

double held_speed(const Arm& arm, const HeldPart& part, const MotionPoint& point) {
  const FrameMotion com = com_motion(arm, part, point);
  const Vector3d to_tcp =
      com.in_base.linear() * (part.tcp_in_flange.inverse() * part.in_flange.com);  // from the tcp to the centre of mass
  const Vector3d tcp_velocity = com.velocity.head<3>() - com.velocity.tail<3>().cross(to_tcp);
  return std::max(com.velocity.head<3>().norm(), tcp_velocity.norm());
}

LawPoint stopping(const LawPoint& law, double speed, const Joints& joint_speeds, const StopLimits& limits) {
  double quickness = std::numeric_limits<double>::infinity();  // 1/s: how fast the rate slows, over the rate
  if (speed > 0) quickness = limits.deceleration / speed;
  for (Eigen::Index j = 0; j < 6; ++j)
    if (joint_speeds[j] != 0) quickness = std::min(quickness, limits.joints[j] / std::abs(joint_speeds[j]));
  if (!(law.rate > 0) || std::isinf(quickness)) return {law.s, 0, 0};
  return {law.s, law.rate, -quickness * law.rate};
}

bool only_turns(const Arm& arm, const HeldPart& part, const Path& path) {
  constexpr int places = 64;
  constexpr double still_mm = 1;
  if (path.goes_nowhere()) return false;
  const auto tcp = [&](double s) -> Vector3d {
    return (flange_in_base(arm, path.on_chain(s)) * part.tcp_in_flange).translation();
  };
  const Vector3d start = tcp(0);
  for (int i = 1; i <= places; ++i)
    if ((tcp(static_cast<double>(i) / places) - start).norm() > still_mm) return false;
  return true;
}

}  // namespace cellproof
