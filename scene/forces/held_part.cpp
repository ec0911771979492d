// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/held_part.hpp"

#include <algorithm>

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

LawPoint stopping(const LawPoint& law, double speed, double deceleration) {
  if (!(law.rate > 0) || !(speed > 0)) return {law.s, 0, 0};
  return {law.s, law.rate, -deceleration * law.rate / speed};
}

}  // namespace cellproof
