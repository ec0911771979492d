// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/scaled_determinant.hpp"

#include <cmath>

#include <Eigen/LU>

namespace cellproof {
namespace {

/// The joints' axes where they stand in the frames: a solution is asked too often to copy them.
class Axes {
 public:
  Axes(const Arm& arm, const ArmFrames& frames)
      : frames_(frames), shift_(arm.convention == DhConvention::standard ? 0 : 1) {}
  auto direction(std::size_t axis) const { return frames_.link_in_base[axis + shift_].matrix().col(2).head<3>(); }
  auto point(std::size_t axis) const { return frames_.link_in_base[axis + shift_].matrix().col(3).head<3>(); }
  Vector3d speed_at(std::size_t axis, const Vector3d& of) const { return direction(axis).cross(of - point(axis)); }

 private:
  const ArmFrames& frames_;
  std::size_t shift_;
};

double volume(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  return a.dot(b.cross(c));
}

/// The three axes that are not among the three from `first`, all 0-based.
std::array<std::size_t, 3> others(std::size_t first) {
  std::array<std::size_t, 3> result{};
  for (std::size_t i = 0; i < 3; ++i) result[i] = i < first ? i : i + 3;
  return result;
}

/// Three axes from `first` meet: what the others do to that point, times what the three can turn.
double of_meeting_axes(const Axes& axes, std::size_t first) {
  const Vector3d centre = axes.point(first + 1);
  const auto [x, y, z] = others(first);
  return volume(axes.speed_at(x, centre), axes.speed_at(y, centre), axes.speed_at(z, centre)) *
         volume(axes.direction(first), axes.direction(first + 1), axes.direction(first + 2));
}

/// Three axes from `first` are parallel: what they do in their plane, times what the others do out of it.
double of_parallel_axes(const Axes& axes, std::size_t first) {
  const auto [x, y, z] = others(first);
  const Vector3d common = axes.direction(first), point = axes.point(z), last = axes.point(first + 2);
  const double in_plane = volume(common, last - axes.point(first), last - axes.point(first + 1));
  const double out_of_plane =
      common.dot(axes.speed_at(x, point)) * volume(common, axes.direction(y), axes.direction(z)) +
      common.dot(axes.speed_at(y, point)) * volume(axes.direction(x), common, axes.direction(z));
  return in_plane * out_of_plane;
}

double of_any(const Axes& axes, double length) {
  Jacobian jacobian;
  for (std::size_t i = 0; i < 6; ++i)
    jacobian.col(static_cast<Eigen::Index>(i)) << axes.speed_at(i, axes.point(5)) / length, axes.direction(i);
  return jacobian.determinant();
}

}  // namespace

double scaled_determinant(const Arm& arm, const ArmFrames& frames, const ArmStructure& structure, double length) {
  const Axes axes(arm, frames);
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
