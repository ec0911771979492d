// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/parallel_eye.hpp"

#include <algorithm>

namespace cellproof {
namespace {

constexpr double standoff = 10;  // mm before the nearest point

/// Forward and down of the eye, in world.
Eigen::Matrix3d eye_axes(Side side) {
  Vector3d forward = Vector3d::UnitY(), up = Vector3d::UnitZ();
  switch (side) {
    case Side::quarter:
      forward = Vector3d(-0.62, 0.68, -0.48);
      break;
    case Side::front:
      break;
    case Side::back:
      forward = -Vector3d::UnitY();
      break;
    case Side::left:
      forward = Vector3d::UnitX();
      break;
    case Side::right:
      forward = -Vector3d::UnitX();
      break;
    case Side::top:
      forward = -Vector3d::UnitZ(), up = Vector3d::UnitY();
      break;
  }
  forward.normalize();
  const Vector3d right = forward.cross(up).normalized();
  Eigen::Matrix3d axes;
  axes << right, forward.cross(right), forward;
  return axes;
}

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

ParallelEye fitted_eye(Side side, const std::vector<Vector3d>& points, const std::vector<Vector3d>& everything,
                       const Area& area) {
  ParallelEye eye;
  eye.in_world.linear() = eye_axes(side);
  const Eigen::Matrix3d to_eye = eye_axes(side).transpose();
  Box seen;
  for (const Vector3d& point : points) seen.add(to_eye * point);
  double nearest = seen.low.z();
  for (const Vector3d& point : everything) nearest = std::min(nearest, to_eye.row(2).dot(point));
  const Vector3d centre = (seen.low + seen.high) / 2, extent = seen.high - seen.low;
  eye.in_world.translation() = eye_axes(side) * Vector3d(centre.x(), centre.y(), nearest - standoff);
  eye.mm_per_pixel = std::max({extent.x() / area.width, extent.y() / area.height, 1e-3});
  eye.middle = {area.left + area.width / 2, area.top + area.height / 2};
  return eye;
}

}  // namespace cellproof
