// SPDX-License-Identifier: GPL-3.0-or-later
#include "models/arm_parts.hpp"

namespace cellproof::models {
namespace {

constexpr int segments = 64, fillet = 3;

}  // namespace

Shape about_y(const Shape& shape, double x, double z) {
  return moved(shape, shift(x, 0, z) * z_to_y());
}

Shape about_x(const Shape& shape, double z) {
  return moved(shape, shift(0, 0, z) * z_to_x());
}

Shape rounded_drum(double radius, double from, double to, double edge) {
  return revolve(rounded({{0, from}, {radius, from}, {radius, to}, {0, to}}, edge, fillet), segments);
}

Pose frame(const Vector3d& origin, const Vector3d& x, const Vector3d& z) {
  Pose pose(Eigen::Translation3d{origin});
  pose.linear() << x, z.cross(x), z;
  return pose;
}

}  // namespace cellproof::models
