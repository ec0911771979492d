// SPDX-License-Identifier: GPL-3.0-or-later
// Poses, vectors and joint values as the report's JSON has them.
#pragma once

#include <cmath>

#include "app/json_text.hpp"
#include "kinematics/types.hpp"

namespace cellproof {

/// A figure that does not apply is null, never a stand-in.
inline Json json_number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

inline Json json_vector(const Vector3d& vector) {
  return Json::array({json_number(vector.x()), json_number(vector.y()), json_number(vector.z())});
}

/// { "xyz": […] mm, "quat": [w, x, y, z] } with w >= 0.
inline Json json_pose(const Pose& pose) {
  Eigen::Quaterniond quat(pose.linear());
  if (quat.w() < 0) quat.coeffs() *= -1;
  return {{"xyz", json_vector(pose.translation())}, {"quat", Json::array({quat.w(), quat.x(), quat.y(), quat.z()})}};
}

inline Json json_joints(const Joints& values) {
  Json list = Json::array();
  for (int j = 0; j < 6; ++j) list.push_back(degrees(values[j]));
  return list;
}

}  // namespace cellproof
