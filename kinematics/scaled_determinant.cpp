// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/scaled_determinant.hpp"

#include <cmath>

#include <Eigen/LU>

namespace cellproof {
namespace {

using Axes = std::array<JointAxis, 6>;

double volume(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  return a.dot(b.cross(c));
}

Vector3d speed_at(const JointAxis& axis, const Vector3d& point) {
  return axis.direction.cross(point - axis.point);
}

/// Three axes from `first` (0-based) meet: what the others do to that point, times what the three can turn.
double of_meeting_axes(const Axes& axes, std::size_t first) {
  const Vector3d& centre = axes[first + 1].point;
  std::array<Vector3d, 3> carried;
  std::size_t count = 0;
  for (std::size_t i = 0; i < 6; ++i) {
    if (i < first || i > first + 2) carried[count++] = speed_at(axes[i], centre);
  }
  return volume(carried[0], carried[1], carried[2]) *
         volume(axes[first].direction, axes[first + 1].direction, axes[first + 2].direction);
}

/// Three axes from `first` (0-based) are parallel: what they do in their plane, times what the others do out of it.
double of_parallel_axes(const Axes& axes, std::size_t first) {
  std::array<const JointAxis*, 3> other{};
  std::size_t count = 0;
  for (std::size_t i = 0; i < 6; ++i) {
    if (i < first || i > first + 2) other[count++] = &axes[i];
  }
  const auto& [x, y, z] = other;
  const Vector3d &common = axes[first].direction, &point = z->point;
  const double in_plane =
      volume(common, axes[first + 2].point - axes[first].point, axes[first + 2].point - axes[first + 1].point);
  const double out_of_plane = common.dot(speed_at(*x, point)) * volume(common, y->direction, z->direction) +
                              common.dot(speed_at(*y, point)) * volume(x->direction, common, z->direction);
  return in_plane * out_of_plane;
}

double of_any(const Axes& axes, double length) {
  Jacobian jacobian;
  for (std::size_t i = 0; i < 6; ++i) {
    jacobian.col(static_cast<Eigen::Index>(i)) << speed_at(axes[i], axes[5].point) / length, axes[i].direction;
  }
  return jacobian.determinant();
}

}  // namespace

double scaled_determinant(const Axes& axes, const ArmStructure& structure, double length) {
  if (structure.triple == AxisTriple::none) return std::abs(of_any(axes, length));
  const auto first = static_cast<std::size_t>(structure.first - 1);
  const double determinant =
      structure.triple == AxisTriple::meeting ? of_meeting_axes(axes, first) : of_parallel_axes(axes, first);
  return std::abs(determinant) / (length * length * length);
}

double clear_determinant(const Arm& arm, double length, double least) {
  // The other five are bounded by the size of J, whose columns are a unit direction each and a speed of at most the
  // arm's whole length.
  const double reach = 1 + arm.flange_in_link6.translation().norm() / length;
  return least * std::pow(6 * (1 + reach * reach) / 5, 2.5);
}

}  // namespace cellproof
