// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion_bounds.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace cellproof {
namespace {

double furthest_corner(const JointAxis& axis, const std::array<Vector3d, 8>& corners) {
  double furthest = 0;
  for (const Vector3d& corner : corners) {
    furthest = std::max(furthest, axis.direction.cross(corner - axis.point).squaredNorm());
  }
  return std::sqrt(furthest);
}

/// A turn by an angle moves a point by a chord, never by more than the diameter.
double chord_over_radius(double angle) {
  return 2 * std::sin(std::min(angle, pi) / 2);
}

}  // namespace

double motion_bound(const Arm& arm, const ArmFrames& frames, const CarriedHull& hull, const Joints& travel,
                    int fixed_link) {
  if (fixed_link > hull.link) throw std::invalid_argument("motion_bound: the hull must ride beyond the fixed link");
  const Joints dh_travel = arm.dh_from_values.cwiseAbs() * travel;
  const auto axes = joint_axes(arm, frames);
  std::array<Vector3d, 8> corners;
  const Pose& link_in_base = frames.link_in_base[static_cast<std::size_t>(hull.link)];
  std::transform(hull.corners_in_link.begin(), hull.corners_in_link.end(), corners.begin(),
                 [&](const Vector3d& corner) -> Vector3d { return link_in_base * corner; });
  // A joint's own turn keeps the distance from its axis; only the joints beyond it can carry the hull further out.
  double bound = 0, carried_out = 0;
  for (int joint = hull.link - 1; joint >= fixed_link; --joint) {
    const double radius = furthest_corner(axes[static_cast<std::size_t>(joint)], corners) + carried_out;
    bound += dh_travel[joint] * radius;
    carried_out += chord_over_radius(dh_travel[joint]) * radius;
  }
  return bound;
}

}  // namespace cellproof
