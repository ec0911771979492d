// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/parallel_eye.hpp"

#include <algorithm>

namespace cellproof {
namespace {

constexpr double standoff = 10;  // mm before the nearest point

constexpr double upright = 1e-6;  // sine of the angle to the world's z below which y is up in the picture

}  // namespace

std::string_view side_name(Side side) {
  switch (side) {
    case Side::quarter:
      return "quarter";
    case Side::front:
      return "front";
    case Side::back:
      return "back";
    case Side::left:
      return "left";
    case Side::right:
      return "right";
    case Side::top:
      return "top";
  }
  return "";
}

std::optional<Side> side_named(std::string_view name) {
  for (const Side side : {Side::quarter, Side::front, Side::back, Side::left, Side::right, Side::top})
    if (side_name(side) == name) return side;
  return std::nullopt;
}

Vector3d direction_from(Side side) {
  switch (side) {
    case Side::quarter:
      return {-0.62, 0.68, -0.48};
    case Side::front:
      return Vector3d::UnitY();
    case Side::back:
      return -Vector3d::UnitY();
    case Side::left:
      return Vector3d::UnitX();
    case Side::right:
      return -Vector3d::UnitX();
    case Side::top:
      return -Vector3d::UnitZ();
  }
  return Vector3d::UnitY();
}

Vector2d ParallelEye::pixel(const Vector3d& point_in_world) const {
  return middle + (in_world.inverse() * point_in_world).head<2>() / mm_per_pixel;
}

double ParallelEye::depth(const Vector3d& point_in_world) const {
  return (in_world.inverse() * point_in_world).z();
}

Eye ParallelEye::eye(int width, int height) const {
  const auto ray = [self = *this](const Vector2d& pixel) -> std::optional<Ray> {
    const Vector2d offset = (pixel - self.middle) * self.mm_per_pixel;
    return Ray{.origin = Vector3d(offset.x(), offset.y(), 0), .direction = Vector3d::UnitZ()};
  };
  const double sample = mm_per_pixel / samples_a_side;
  return {width, height, ray, [sample](double) { return sample; }};
}

Eigen::Matrix3d eye_axes(const Vector3d& direction) {
  const Vector3d forward = direction.normalized();
  const bool along_z = forward.head<2>().norm() < upright;
  const Vector3d right = forward.cross(along_z ? Vector3d::UnitY() : Vector3d::UnitZ()).normalized();
  Eigen::Matrix3d axes;
  axes << right, forward.cross(right), forward;
  return axes;
}

ParallelEye fitted_eye(const Vector3d& direction, const std::vector<Vector3d>& points,
                       const std::vector<Vector3d>& everything, const Area& area) {
  ParallelEye eye;
  const Eigen::Matrix3d axes = eye_axes(direction), to_eye = axes.transpose();
  eye.in_world.linear() = axes;
  Box seen;
  for (const Vector3d& point : points) seen.add(to_eye * point);
  double nearest = seen.low.z();
  for (const Vector3d& point : everything) nearest = std::min(nearest, to_eye.row(2).dot(point));
  const Vector3d centre = (seen.low + seen.high) / 2, extent = seen.high - seen.low;
  eye.in_world.translation() = axes * Vector3d(centre.x(), centre.y(), nearest - standoff);
  eye.mm_per_pixel = std::max({extent.x() / area.width, extent.y() / area.height, 1e-3});
  eye.middle = {area.left + area.width / 2, area.top + area.height / 2};
  return eye;
}

}  // namespace cellproof
