// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "kinematics/inverse/newton.hpp"
#include "kinematics/motion/path.hpp"

namespace cellproof {

Twist LinearTarget::direction() const {
  return pose_difference(start_in_base, end_in_base);
}

double LinearTarget::distance_mm() const {
  return (end_in_base.translation() - start_in_base.translation()).norm();
}

double LinearTarget::angle() const {
  return direction().tail<3>().norm();
}

Pose LinearTarget::at(double s) const {
  if (s <= 0) return start_in_base;
  if (s >= 1) return end_in_base;
  const Twist whole = direction();
  const Vector3d turn = s * whole.tail<3>();
  const double angle = turn.norm();
  const Vector3d axis = angle > 0 ? Vector3d(turn / angle) : Vector3d(Vector3d::UnitZ());
  Pose pose = start_in_base;
  pose.linear() = Eigen::AngleAxisd(angle, axis) * start_in_base.linear();
  pose.translation() += s * whole.head<3>();
  return pose;
}

}  // namespace cellproof
