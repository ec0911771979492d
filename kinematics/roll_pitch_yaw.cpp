// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/roll_pitch_yaw.hpp"

#include <cmath>

namespace cellproof {

Eigen::Matrix3d turned(const Vector3d& roll_pitch_yaw) {
  return (Eigen::AngleAxisd(roll_pitch_yaw.z(), Vector3d::UnitZ()) *
          Eigen::AngleAxisd(roll_pitch_yaw.y(), Vector3d::UnitY()) *
          Eigen::AngleAxisd(roll_pitch_yaw.x(), Vector3d::UnitX()))
      .toRotationMatrix();
}

Vector3d roll_pitch_yaw(const Eigen::Matrix3d& r) {
  const double level = std::hypot(r(0, 0), r(1, 0)), pitch = std::atan2(-r(2, 0), level);
  if (level < 1e-9) return {0, pitch, std::atan2(-r(0, 1), r(1, 1))};
  return {std::atan2(r(2, 1), r(2, 2)), pitch, std::atan2(r(1, 0), r(0, 0))};
}

}  // namespace cellproof
