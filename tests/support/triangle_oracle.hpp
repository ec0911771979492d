// SPDX-License-Identifier: GPL-3.0-or-later
// An independent answer to "how far are two meshes apart": the conditions of the least squares problem, tried feature
// by feature in long double. Slow and simple.
#pragma once

#include <algorithm>
#include <vector>

#include <Eigen/Dense>

#include "scene/mesh/mesh.hpp"

namespace cellproof::oracle {

using Real = long double;
using Point = Eigen::Matrix<Real, 3, 1>;
using Facet = std::array<Point, 3>;

/// Corners of a triangle that carry weight: a corner, an edge or the inside.
inline const std::vector<std::vector<int>>& features() {
  static const std::vector<std::vector<int>> all = {{0}, {1}, {2}, {0, 1}, {1, 2}, {2, 0}, {0, 1, 2}};
  return all;
}

/// Nearest points of the flats through two features, if unique and inside both: their squared distance, else infinity.
inline Real squared_between_features(const Facet& a, const std::vector<int>& fa, const Facet& b,
                                     const std::vector<int>& fb) {
  const Point origin_a = a[static_cast<std::size_t>(fa[0])], origin_b = b[static_cast<std::size_t>(fb[0])];
  const auto count_a = static_cast<Eigen::Index>(fa.size()) - 1, count_b = static_cast<Eigen::Index>(fb.size()) - 1;
  constexpr Real infinity = std::numeric_limits<Real>::infinity();
  if (count_a + count_b == 0) return (origin_a - origin_b).squaredNorm();
  if (count_a + count_b > 3) return infinity;
  Eigen::Matrix<Real, 3, Eigen::Dynamic> spans(3, count_a + count_b);
  for (Eigen::Index i = 0; i < count_a; ++i)
    spans.col(i) = a[static_cast<std::size_t>(fa[static_cast<std::size_t>(i) + 1])] - origin_a;
  for (Eigen::Index i = 0; i < count_b; ++i)
    spans.col(count_a + i) = origin_b - b[static_cast<std::size_t>(fb[static_cast<std::size_t>(i) + 1])];
  const Eigen::ColPivHouseholderQR<Eigen::Matrix<Real, 3, Eigen::Dynamic>> solver(spans);
  if (solver.rank() < spans.cols()) return infinity;  // some smaller feature has the answer too
  const Eigen::Matrix<Real, Eigen::Dynamic, 1> weights = solver.solve(origin_b - origin_a);
  constexpr Real slack = 1e-15L;
  if (weights.minCoeff() < -slack) return infinity;
  if (count_a > 0 && weights.head(count_a).sum() > 1 + slack) return infinity;
  if (count_b > 0 && weights.tail(count_b).sum() > 1 + slack) return infinity;
  return (spans * weights - (origin_b - origin_a)).squaredNorm();
}

inline Real distance(const Facet& a, const Facet& b) {
  Real squared = std::numeric_limits<Real>::infinity();
  for (const auto& fa : features())
    for (const auto& fb : features()) squared = std::min(squared, squared_between_features(a, fa, b, fb));
  return std::sqrt(squared);
}

inline std::vector<Facet> facets(const Mesh& mesh, const Pose& in_world) {
  const Eigen::Matrix<Real, 3, 3> turn = in_world.linear().cast<Real>();
  const Point shift = in_world.translation().cast<Real>();
  std::vector<Facet> all;
  for (const auto& [i, j, k] : mesh.triangles)
    all.push_back({turn * mesh.vertices[i].cast<Real>() + shift, turn * mesh.vertices[j].cast<Real>() + shift,
                   turn * mesh.vertices[k].cast<Real>() + shift});
  return all;
}

inline double distance(const Mesh& a, const Pose& a_in_world, const Mesh& b, const Pose& b_in_world) {
  Real least = std::numeric_limits<Real>::infinity();
  const auto facets_a = facets(a, a_in_world), facets_b = facets(b, b_in_world);
  for (const Facet& fa : facets_a)
    for (const Facet& fb : facets_b) least = std::min(least, distance(fa, fb));
  return static_cast<double>(least);
}

/// Distance of a point from a surface.
inline double distance(const Mesh& mesh, const Pose& in_world, const Vector3d& point) {
  const Point p = point.cast<Real>();
  Real least = std::numeric_limits<Real>::infinity();
  for (const Facet& facet : facets(mesh, in_world)) least = std::min(least, distance(facet, Facet{p, p, p}));
  return static_cast<double>(least);
}

}  // namespace cellproof::oracle
