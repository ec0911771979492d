// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/frame_motion.hpp"

#include <stdexcept>

#include "kinematics/entry.hpp"

namespace cellproof {
namespace {

/// A body in motion, seen at one of its points.
struct MovingBody {
  Vector3d at = Vector3d::Zero();
  Vector3d speed = Vector3d::Zero(), acceleration = Vector3d::Zero();
  Vector3d turning = Vector3d::Zero(), turning_change = Vector3d::Zero();

  void see_at(const Vector3d& point) {
    const Vector3d arm = point - at, swing = turning.cross(arm);
    speed += swing;
    acceleration += turning_change.cross(arm) + turning.cross(swing);
    at = point;
  }
  /// From the body before a joint to the one after it; `at` must lie on the axis.
  void pass_joint(const Vector3d& axis, double joint_speed, double joint_acceleration) {
    turning_change += joint_acceleration * axis + joint_speed * turning.cross(axis);
    turning += joint_speed * axis;
  }
};

}  // namespace

FrameMotion frame_motion(const Arm& arm, const MotionPoint& point, int link, const Pose& frame_in_link) {
  if (link < 0 || link > 6) throw std::invalid_argument("frame_motion: link must be 0 to 6");
  const ArmFrames frames = arm_frames(arm, point.values);
  const auto axes = joint_axes(arm, frames);
  const Joints speeds = arm.dh_from_values * point.speeds, accelerations = arm.dh_from_values * point.accelerations;
  MovingBody body;
  for (int joint = 0; joint < link; ++joint) {
    const JointAxis& axis = entry(axes, joint);
    body.see_at(axis.point);
    body.pass_joint(axis.direction, speeds[joint], accelerations[joint]);
  }
  FrameMotion motion;
  motion.in_base = entry(frames.link_in_base, link) * frame_in_link;
  body.see_at(motion.in_base.translation());
  motion.velocity << body.speed, body.turning;
  motion.acceleration << body.acceleration, body.turning_change;
  return motion;
}

}  // namespace cellproof
