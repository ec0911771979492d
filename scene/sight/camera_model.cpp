// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/camera_model.hpp"

#include <cmath>

namespace cellproof {
namespace {

using Matrix2d = Eigen::Matrix2d;

/// A distorted position on the plane z = 1 and its derivative by the undistorted one, which is symmetric.
struct Distorted {
  Vector2d at;
  Matrix2d derivative;
};

Distorted distort(const Camera& camera, const Vector2d& ideal) {
  const auto& [k1, k2, p1, p2, k3] = camera.distortion;
  const double x = ideal.x(), y = ideal.y(), r2 = ideal.squaredNorm();
  const double radial = 1 + r2 * (k1 + r2 * (k2 + r2 * k3));
  const double slope = 2 * (k1 + r2 * (2 * k2 + r2 * 3 * k3));  // d radial / d x = slope · x
  Distorted result;
  result.at << x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x), y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y;
  const double mixed = slope * x * y + 2 * p1 * x + 2 * p2 * y;
  result.derivative << radial + slope * x * x + 2 * p1 * y + 6 * p2 * x, mixed, mixed,
      radial + slope * y * y + 6 * p1 * y + 2 * p2 * x;
  return result;
}

bool positive_definite(const Matrix2d& symmetric) {
  return symmetric(0, 0) > 0 && symmetric.determinant() > 0;
}

/// Upper bound of the norm of (derivative − identity) at any place no further out than `radius`.
double greatest_departure(const Camera& camera, double radius) {
  const auto& [k1, k2, p1, p2, k3] = camera.distortion;
  const double r2 = radius * radius;
  return 3 * std::abs(k1) * r2 + 5 * std::abs(k2) * r2 * r2 + 7 * std::abs(k3) * r2 * r2 * r2 +
         6 * (std::abs(p1) + std::abs(p2)) * radius;
}

/// True if the formula has folded somewhere on the straight way from the axis to `ideal`. Where its symmetric
/// derivative stays positive definite all over a convex region, no two places of the region share a pixel.
bool folded(const Camera& camera, const Vector2d& ideal) {
  if (greatest_departure(camera, ideal.norm()) < 1) return false;
  constexpr int steps = 128;
  for (int i = 1; i <= steps; ++i)
    if (!positive_definite(distort(camera, ideal * (static_cast<double>(i) / steps)).derivative)) return true;
  return false;
}

/// Damped Newton: the distortion is the gradient of a potential, convex as far as it does not fold, so that a step that
/// stays there and lessens the residual can be found as long as a solution exists.
std::optional<Vector2d> undistort(const Camera& camera, const Vector2d& wanted) {
  Vector2d ideal = Vector2d::Zero();
  if (greatest_departure(camera, wanted.norm()) < 0.5) ideal = wanted;
  Distorted now = distort(camera, ideal);
  constexpr double enough = 1e-14;
  for (int round = 0; round < 50; ++round) {
    const Vector2d residual = wanted - now.at;
    if (residual.norm() <= enough * (1 + wanted.norm())) break;
    const Vector2d step = now.derivative.inverse() * residual;
    double fraction = 1;
    Distorted next;
    for (; fraction > 1e-6; fraction /= 2) {
      next = distort(camera, ideal + fraction * step);
      if (positive_definite(next.derivative) && (wanted - next.at).norm() < residual.norm()) break;
    }
    if (fraction <= 1e-6) break;
    ideal += fraction * step;
    now = next;
  }
  const double residual = (wanted - now.at).norm() * std::max(camera.fx, camera.fy);
  if (!(residual < 1e-9) || folded(camera, ideal)) return std::nullopt;
  return ideal;
}

}  // namespace

std::optional<Vector2d> project(const Camera& camera, const Vector3d& point_in_camera) {
  if (!(point_in_camera.z() > 0)) return std::nullopt;
  const Vector2d ideal = point_in_camera.head<2>() / point_in_camera.z();
  if (!ideal.allFinite() || folded(camera, ideal)) return std::nullopt;
  const Vector2d at = distort(camera, ideal).at;
  return Vector2d(camera.fx * at.x() + camera.cx, camera.fy * at.y() + camera.cy);
}

std::optional<Eigen::Matrix<double, 2, 3>> projection_derivative(const Camera& camera,
                                                                 const Vector3d& point_in_camera) {
  if (!project(camera, point_in_camera)) return std::nullopt;
  const double z = point_in_camera.z();
  const Vector2d ideal = point_in_camera.head<2>() / z;
  Eigen::Matrix<double, 2, 3> ideal_by_point;
  ideal_by_point << 1 / z, 0, -ideal.x() / z, 0, 1 / z, -ideal.y() / z;
  const Matrix2d focal = Vector2d(camera.fx, camera.fy).asDiagonal();
  return focal * distort(camera, ideal).derivative * ideal_by_point;
}

std::optional<Vector3d> ray_of_pixel(const Camera& camera, const Vector2d& pixel) {
  const Vector2d distorted((pixel.x() - camera.cx) / camera.fx, (pixel.y() - camera.cy) / camera.fy);
  if (camera.distortion == std::array<double, 5>{}) return Vector3d(distorted.x(), distorted.y(), 1);
  const auto ideal = undistort(camera, distorted);
  if (!ideal) return std::nullopt;
  return Vector3d(ideal->x(), ideal->y(), 1);
}

Vector3d ray_towards(const Camera& camera, const Vector2d& pixel) {
  if (const auto ray = ray_of_pixel(camera, pixel)) return *ray;
  const Vector2d middle(camera.cx, camera.cy);
  double seen = 0, unseen = 1;
  Vector3d ray = Vector3d::UnitZ();
  for (int round = 0; round < 30; ++round) {
    const double share = (seen + unseen) / 2;
    const auto candidate = ray_of_pixel(camera, middle + share * (pixel - middle));
    if (candidate) ray = *candidate;
    (candidate ? seen : unseen) = share;
  }
  return ray;
}

bool in_picture(const Camera& camera, const Vector2d& pixel) {
  return pixel.x() >= -0.5 && pixel.x() <= camera.width - 0.5 && pixel.y() >= -0.5 && pixel.y() <= camera.height - 0.5;
}

std::optional<DepthOfField> depth_of_field(const Camera& camera) {
  if (!camera.focus || !camera.focal_length) return std::nullopt;
  const double f = *camera.focal_length, s = camera.focus->distance;
  const double hyperfocal = f * f / (camera.focus->f_number * camera.focus->circle) + f;
  DepthOfField depth;
  depth.near_mm = s * (hyperfocal - f) / (hyperfocal + s - 2 * f);
  depth.far_mm = s < hyperfocal ? s * (hyperfocal - f) / (hyperfocal - s) : std::numeric_limits<double>::infinity();
  return depth;
}

Mesh view_frustum(const Camera& camera) {
  const double right = camera.width - 0.5, bottom = camera.height - 0.5;
  const std::array<Vector2d, 4> corners{Vector2d(-0.5, -0.5), Vector2d(right, -0.5), Vector2d(right, bottom),
                                        Vector2d(-0.5, bottom)};
  Mesh mesh;
  for (const double depth : {camera.near_mm, camera.far_mm})
    for (const Vector2d& corner : corners) mesh.vertices.push_back(depth * ray_towards(camera, corner));
  mesh.triangles = {{0, 3, 2}, {0, 2, 1}, {4, 5, 6}, {4, 6, 7}};
  for (std::uint32_t i = 0; i < 4; ++i) {
    const std::uint32_t j = (i + 1) % 4;
    mesh.triangles.push_back({i, j, j + 4});
    mesh.triangles.push_back({i, j + 4, i + 4});
  }
  return mesh;
}

}  // namespace cellproof
