// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/mesh.hpp"

namespace cellproof {

namespace {

/// ∫ x xᵀ dV over the tetrahedron of the origin and three corners, times 120 / det (J. Blow, A. J. Binstock, 2004: the
/// canonical tetrahedron's covariance under an affine map, written out).
Eigen::Matrix3d corner_products(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  const Vector3d sum = a + b + c;
  return a * a.transpose() + b * b.transpose() + c * c.transpose() + sum * sum.transpose();
}

}  // namespace

SolidProperties solid_properties(const Mesh& mesh) {
  if (mesh.exact) return mesh.exact->solid;
  // About the middle of the box: far from the origin the terms would cancel badly.
  const Box box = box_of(mesh);
  const Vector3d middle = mesh.vertices.empty() ? Vector3d(Vector3d::Zero()) : Vector3d((box.low + box.high) / 2);
  double six_volumes = 0;
  Vector3d first = Vector3d::Zero();
  Eigen::Matrix3d second = Eigen::Matrix3d::Zero();
  for (const auto& [i, j, k] : mesh.triangles) {
    const Vector3d a = mesh.vertices[i] - middle, b = mesh.vertices[j] - middle, c = mesh.vertices[k] - middle;
    const double det = a.dot(b.cross(c));
    six_volumes += det;
    first += det * (a + b + c);
    second += det * corner_products(a, b, c);
  }
  SolidProperties result;
  result.volume = six_volumes / 6;
  if (result.volume == 0) return result;
  const Vector3d offset = first / (24 * result.volume);
  result.centroid = middle + offset;
  const Eigen::Matrix3d spread = second / 120 - result.volume * offset * offset.transpose();
  result.inertia = spread.trace() * Eigen::Matrix3d::Identity() - spread;
  return result;
}

}  // namespace cellproof
