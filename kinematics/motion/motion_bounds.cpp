// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/motion_bounds.hpp"

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

Joints axis_radii(const Arm& arm, const ArmFrames& frames, const CarriedHull& hull, const Joints& travel,
                  std::size_t fixed_link) {
  if (fixed_link > hull.link) throw std::invalid_argument("axis_radii: the hull must ride beyond the fixed link");
  const Joints dh_travel = arm.dh_from_values.cwiseAbs() * travel;
  const auto axes = joint_axes(arm, frames);
  std::array<Vector3d, 8> corners;
  const Pose& link_in_base = frames.link_in_base[hull.link];
  std::transform(hull.corners_in_link.begin(), hull.corners_in_link.end(), corners.begin(),
                 [&](const Vector3d& corner) -> Vector3d { return link_in_base * corner; });
  // A joint's own turn keeps the distance from its axis; only the joints beyond it can carry the hull further out.
  Joints radii = Joints::Zero();
  double carried_out = 0;
  for (std::size_t joint = hull.link; joint-- > fixed_link;) {
    const auto j = static_cast<Eigen::Index>(joint);
    radii[j] = furthest_corner(axes[joint], corners) + carried_out;
    carried_out += chord_over_radius(dh_travel[j]) * radii[j];
  }
  return radii;
}

double motion_bound(const Arm& arm, const ArmFrames& frames, const CarriedHull& hull, const Joints& travel,
                    std::size_t fixed_link) {
  const Joints dh_travel = arm.dh_from_values.cwiseAbs() * travel;
  return dh_travel.dot(axis_radii(arm, frames, hull, travel, fixed_link));
}

EvenMotion even_motion(const Arm& arm, const ArmFrames& middle, const CarriedHull& hull, const Joints& change,
                       const Joints& off, std::size_t fixed_link) {
  const Joints radii = axis_radii(arm, middle, hull, change.cwiseAbs() + 2 * off, fixed_link);
  const Joints dh_change = arm.dh_from_values * change;
  const Joints dh_off = arm.dh_from_values.cwiseAbs() * off;
  const auto axes = joint_axes(arm, middle);
  EvenMotion motion;
  motion.about = middle.link_in_base[hull.link].translation();
  for (std::size_t joint = fixed_link; joint < hull.link; ++joint) {
    const JointAxis& axis = axes[joint];
    const auto j = static_cast<Eigen::Index>(joint);
    motion.velocity += dh_change[j] * axis.direction.cross(motion.about - axis.point);
    motion.turning += dh_change[j] * axis.direction;
    double bent = dh_change[j] * dh_change[j];  // with itself, and twice with each joint nearer to the base
    for (auto inner = static_cast<Eigen::Index>(fixed_link); inner < j; ++inner)
      bent += 2 * std::abs(dh_change[j] * dh_change[inner]);
    motion.stray_mm += radii[j] * (bent / 8 + 2 * dh_off[j]);
  }
  return motion;
}

}  // namespace cellproof
