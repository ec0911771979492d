// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/tree_descent.hpp"

namespace cellproof {

namespace {

using Vector = Eigen::Map<Vector3d>;
using ConstVector = Eigen::Map<const Vector3d>;

}  // namespace

FramePair frame_pair(const Pose& a_in_world, const Pose& b_in_world) {
  const Pose b_in_a = a_in_world.inverse() * b_in_world;
  return {b_in_a, b_in_a.inverse()};
}

lanes::OneBox placed(const lanes::OneBox& box, const Pose& pose) {
  lanes::OneBox result;
  Vector(result.centre).noalias() = pose.linear() * ConstVector(box.centre) + pose.translation();
  for (std::size_t axis = 0; axis < 3; ++axis) {
    Vector(result.axes[axis]).noalias() = pose.linear() * ConstVector(box.axes[axis]);
    result.half[axis] = box.half[axis];
  }
  return result;
}

lanes::OneTriangle placed(const lanes::OneTriangle& triangle, const Pose& pose) {
  lanes::OneTriangle result;
  for (std::size_t i = 0; i < 3; ++i)
    Vector(result.corner[i]).noalias() = pose.linear() * ConstVector(triangle.corner[i]) + pose.translation();
  return result;
}

lanes::SharedDirection sight_along(const Vector3d& direction_in_a, const FramePair& frames) {
  const double length = direction_in_a.norm();
  const Vector3d unit = length > 0 ? Vector3d(direction_in_a / length) : Vector3d::UnitX();
  lanes::SharedDirection sight;
  put(sight.in_a, unit);
  put(sight.in_b, frames.a_in_b.linear() * unit);
  sight.offset = unit.dot(frames.b_in_a.translation());
  return sight;
}

}  // namespace cellproof
