// SPDX-License-Identifier: GPL-3.0-or-later
// The last digits of a joint solution, and joint motion from a twist, also where the Jacobian loses rank.
#pragma once

#include <optional>

#include <Eigen/LU>
#include <Eigen/SVD>

#include "kinematics/forward.hpp"

namespace cellproof {

/// The small motion (mm, rad, base axes) that takes `from` to `to`.
Twist pose_difference(const Pose& from, const Pose& to);

/// The Jacobian made ready to turn twists into joint motion: least squares of least norm, in which directions whose
/// singular value is below 1e-9, lengths over `length` (mm), are left alone.
class JointMotion {
 public:
  JointMotion(const Jacobian& jacobian, double length);
  Joints operator()(const Twist& twist) const;

 private:
  double length_;
  Eigen::PartialPivLU<Jacobian> factors_;
  std::optional<Eigen::JacobiSVD<Jacobian>> near_singular_;
};

/// Newton's iteration from `guess` on the pose of a point of the flange: `tool_in_flange` is to come to `tool_in_base`.
/// Nothing if it does not settle to 1e-11, lengths over `length`.
std::optional<Joints> settle(const Arm& arm, const Pose& tool_in_flange, const Pose& tool_in_base, const Joints& guess,
                             double length);

/// d(J)/dt · speeds (mm/s², rad/s²): what the point accelerates by when no joint does. `speeds` by the controller's
/// values (rad/s).
Twist acceleration_at_constant_speed(const Arm& arm, const ArmFrames& frames, const Vector3d& point_in_base,
                                     const Joints& speeds);

}  // namespace cellproof
