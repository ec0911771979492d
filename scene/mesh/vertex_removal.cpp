// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/vertex_removal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double flattest = 0.2;   // a triangle's normal along that of the plane: heights rise at most 5 to 1
constexpr double thinnest = 1e-5;  // twice a triangle's area over its longest side squared
constexpr double parallel = 1e-8;  // sine between edges: nearer to it the difference runs straight along both
constexpr double beyond = 1e-5;    // an edge's end, where a crossing still counts
constexpr double rounding = 1e-7;  // of heights, over the size of the polygon: more than all of these can hide

Eigen::Vector2d flat(const Vector3d& p) {
  return p.head<2>();
}

double cross(const Eigen::Vector2d& a, const Eigen::Vector2d& b) {
  return a.x() * b.y() - a.y() * b.x();
}

/// True if the triangle faces up, well enough and wide enough.
bool stands(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  const Vector3d normal = (b - a).cross(c - a);
  const double twice_area = normal.norm();
  const double longest = std::max({(b - a).squaredNorm(), (c - a).squaredNorm(), (c - b).squaredNorm()});
  return twice_area > thinnest * longest && normal.z() > flattest * twice_area;
}

/// The polygon in the frame of a plane, its heights along z: about the old triangles' mean normal, centre at zero.
/// Empty if they have none.
std::vector<Vector3d> over_plane(const Vector3d& centre, const std::vector<Vector3d>& ring) {
  Vector3d normal = Vector3d::Zero();
  for (std::size_t i = 0; i < ring.size(); ++i)
    normal += (ring[i] - centre).cross(ring[(i + 1) % ring.size()] - centre);
  if (!(normal.norm() > 0)) return {};
  const Vector3d z = normal.normalized(), x = z.unitOrthogonal(), y = z.cross(x);
  std::vector<Vector3d> local;
  for (const Vector3d& point : ring) {
    const Vector3d from_centre = point - centre;
    local.emplace_back(x.dot(from_centre), y.dot(from_centre), z.dot(from_centre));
  }
  return local;
}

/// True if both sets of triangles face up and go round once: then each covers the polygon once.
bool covers_once(const std::vector<Vector3d>& ring) {
  double angle = 0;
  for (std::size_t i = 0; i < ring.size(); ++i) {
    const Vector3d &a = ring[i], &b = ring[(i + 1) % ring.size()];
    if (!stands(Vector3d::Zero(), a, b)) return false;
    angle += std::atan2(cross(flat(a), flat(b)), flat(a).dot(flat(b)));
  }
  if (angle > 3 * pi) return false;
  for (std::size_t i = 1; i + 1 < ring.size(); ++i)
    if (!stands(ring[0], ring[i], ring[i + 1])) return false;
  return true;
}

/// Height over the plane's zero of the new triangles, by the one that holds it.
double height_at_zero(const std::vector<Vector3d>& ring) {
  double best = -infinity, height = 0;
  for (std::size_t i = 1; i + 1 < ring.size(); ++i) {
    const Eigen::Vector2d a = flat(ring[0]), b = flat(ring[i]), c = flat(ring[i + 1]);
    const double whole = cross(b - a, c - a);
    const Vector3d shares = Vector3d(cross(b, c), cross(c, a), cross(a, b)) / whole;
    if (shares.minCoeff() <= best) continue;
    best = shares.minCoeff();
    height = shares.x() * ring[0].z() + shares.y() * ring[i].z() + shares.z() * ring[i + 1].z();
  }
  return height;
}

/// The difference of heights where the old edge from zero to `spoke` crosses the new one from `from` to `to`; 0 where
/// they do not cross.
double difference_at_crossing(const Vector3d& spoke, const Vector3d& from, const Vector3d& to) {
  const Eigen::Vector2d s = flat(spoke), d = flat(to) - flat(from);
  const double across = cross(s, d);
  if (std::abs(across) <= parallel * s.norm() * d.norm()) return 0;
  const double along_spoke = cross(flat(from), d) / across, along_edge = cross(flat(from), s) / across;
  if (along_spoke < -beyond || along_spoke > 1 + beyond || along_edge < -beyond || along_edge > 1 + beyond) return 0;
  return std::abs(along_spoke * spoke.z() - (from.z() + along_edge * (to.z() - from.z())));
}

}  // namespace

double removal_error(const Vector3d& centre, const std::vector<Vector3d>& ring) {
  if (ring.size() < 3) return infinity;
  const std::vector<Vector3d> local = over_plane(centre, ring);
  if (local.empty() || !covers_once(local)) return infinity;
  double size = 0, most = std::abs(height_at_zero(local));
  for (const Vector3d& point : local) size = std::max(size, point.norm());
  for (std::size_t i = 1; i < local.size(); ++i)
    for (std::size_t j = 2; j + 1 < local.size(); ++j)
      if (i != j) most = std::max(most, difference_at_crossing(local[i], local[0], local[j]));
  return most + rounding * size;
}

}  // namespace cellproof
