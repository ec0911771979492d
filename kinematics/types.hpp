// SPDX-License-Identifier: GPL-3.0-or-later
// The few types that every folder shares. Inside the program lengths are millimetres and angles radians.
#pragma once

#include <numbers>

#include <Eigen/Core>
#include <Eigen/Geometry>

namespace cellproof {

using Eigen::Vector2d;
using Eigen::Vector3d;

/// Six joint values (rad), in the controller's counting unless a name says `dh_`.
using Joints = Eigen::Matrix<double, 6, 1>;

/// A frame placed in another; the variable's name says whose in what: `flange_in_base`.
using Pose = Eigen::Isometry3d;

/// Velocity rows: three linear (mm/rad), then three angular (rad/rad); one column a joint.
using Jacobian = Eigen::Matrix<double, 6, 6>;

/// Linear (mm) over angular (rad) parts of a small motion or of a velocity.
using Twist = Eigen::Matrix<double, 6, 1>;

inline constexpr double pi = std::numbers::pi;
inline constexpr double degrees(double radians) {
  return radians * 180.0 / pi;
}
inline constexpr double radians(double degrees_value) {
  return degrees_value * pi / 180.0;
}

}  // namespace cellproof
