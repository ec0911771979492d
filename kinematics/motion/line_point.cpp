// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/line_point.hpp"

#include "kinematics/inverse/newton.hpp"

namespace cellproof {

std::optional<Joints> settle_on_line(const Arm& arm, const LinearTarget& line, double s, const Joints& guess,
                                     double length) {
  return settle(arm, line.tcp_in_flange, line.at(s), guess, length);
}

PathPoint line_point(const Arm& arm, const LinearTarget& line, const Joints& values, double length) {
  const ArmFrames frames = arm_frames(arm, values);
  const Vector3d tcp = frames.flange_in_base * line.tcp_in_flange.translation();
  const JointMotion joint_motion(jacobian_at(arm, frames, tcp), length);
  PathPoint point{values, joint_motion(line.direction()), Joints::Zero()};
  // The twist along a line is constant: J q'' + J' q' = 0.
  point.second = joint_motion(-acceleration_at_constant_speed(arm, frames, tcp, point.first));
  return point;
}

}  // namespace cellproof
