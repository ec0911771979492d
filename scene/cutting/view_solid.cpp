// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cutting/view_solid.hpp"

#include <algorithm>
#include <cmath>

#include "scene/mesh/convex_outline.hpp"
#include "scene/sight/camera_model.hpp"

namespace cellproof {

namespace {

std::vector<Vector3d> lens_front(const Camera& camera) {
  if (camera.lens_radius == 0) return {{0, 0, camera.front}};
  const double reach = camera.lens_radius / std::cos(pi / lens_sides);
  std::vector<Vector3d> polygon;
  for (int i = 0; i < lens_sides; ++i) {
    const double angle = 2 * pi * i / lens_sides;
    polygon.emplace_back(reach * std::cos(angle), reach * std::sin(angle), camera.front);
  }
  return polygon;
}

/// Where the picture's rim lies on the plane z = 1: its corners, and along its sides where the lens bends them.
std::vector<Vector2d> rim(const Camera& camera) {
  const bool straight = camera.distortion == std::array<double, 5>{};
  const int pieces = straight ? 1 : 64;
  const double right = camera.width - 0.5, bottom = camera.height - 0.5;
  const std::array<Vector2d, 4> corners{Vector2d(-0.5, -0.5), Vector2d(right, -0.5), Vector2d(right, bottom),
                                        Vector2d(-0.5, bottom)};
  std::vector<Vector2d> points;
  for (std::size_t side = 0; side < 4; ++side)
    for (int i = 0; i < pieces; ++i) {
      const Vector2d pixel = corners[side] + (corners[(side + 1) % 4] - corners[side]) * i / pieces;
      points.emplace_back(ray_towards(camera, pixel).head<2>());
    }
  return points;
}

/// Leaves out points that lie on a straight side but for `tolerance`.
std::vector<Vector2d> coarsened(const std::vector<Vector2d>& outline, double tolerance) {
  std::vector<Vector2d> kept;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const Vector2d& before = kept.empty() ? outline.back() : kept.back();
    const Vector2d side = outline[(i + 1) % outline.size()] - before, off = outline[i] - before;
    if (std::abs(side.x() * off.y() - side.y() * off.x()) > tolerance * side.norm()) kept.push_back(outline[i]);
  }
  return kept;
}

}  // namespace

std::optional<ConvexSolid> view_of_frame(const Camera& camera, double margin_mm) {
  std::vector<Vector2d> grown;
  for (const Vector2d& point : rim(camera))
    for (const double x : {-margin_mm, margin_mm})
      for (const double y : {-margin_mm, margin_mm}) grown.push_back(camera.far_mm * point + Vector2d(x, y));
  std::vector<Vector3d> points = lens_front(camera);
  constexpr double straightness = 1e-7;
  for (const Vector2d& corner : coarsened(convex_outline(grown), straightness * camera.far_mm))
    points.emplace_back(corner.x(), corner.y(), camera.far_mm);
  return convex_hull(points);
}

std::optional<ConvexSolid> view_of_target(const Camera& camera, const Pose& target_in_camera,
                                          const std::array<double, 2>& size, double margin_mm) {
  std::vector<Vector3d> points = lens_front(camera);
  for (const double x : {-1.0, 1.0})
    for (const double y : {-1.0, 1.0})
      points.emplace_back(target_in_camera * Vector3d(x * (size[0] / 2 + margin_mm), y * (size[1] / 2 + margin_mm), 0));
  return convex_hull(points);
}

double view_beside_lens(const Camera& camera) {
  double farthest = 0;
  for (const Vector2d& point : rim(camera)) farthest = std::max(farthest, camera.front * point.norm());
  return std::max(0.0, farthest - camera.lens_radius);
}

}  // namespace cellproof
