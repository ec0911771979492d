// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cutting/convex_solid.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <stdexcept>

namespace cellproof {

namespace {

constexpr double flatness = 1e-9;  ///< of the size

using Points = std::vector<Vector3d>;
using DirectedEdge = std::pair<std::uint32_t, std::uint32_t>;

Vector3d unit_normal(const Points& points, const Triangle& t) {
  return (points[t[1]] - points[t[0]]).cross(points[t[2]] - points[t[0]]).normalized();
}

double height(const Points& points, const Triangle& face, const Vector3d& point) {
  return unit_normal(points, face).dot(point - points[face[0]]);
}

/// The point for which `measure` is greatest, if that is more than the tolerance.
template <class Measure>
std::optional<std::uint32_t> farthest(const Points& points, double tolerance, const Measure& measure) {
  std::optional<std::uint32_t> found;
  double greatest = tolerance;
  for (std::uint32_t i = 0; i < points.size(); ++i)
    if (const double value = measure(points[i]); value > greatest) {
      greatest = value;
      found = i;
    }
  return found;
}

/// Four points that span space, as far apart as can be found one after the other.
std::optional<std::vector<Triangle>> first_tetrahedron(const Points& points, double tolerance) {
  const std::uint32_t a = 0;
  const auto b = farthest(points, tolerance, [&](const Vector3d& p) { return (p - points[a]).norm(); });
  if (!b) return std::nullopt;
  const Vector3d along = (points[*b] - points[a]).normalized();
  const auto c = farthest(points, tolerance, [&](const Vector3d& p) { return (p - points[a]).cross(along).norm(); });
  if (!c) return std::nullopt;
  const Triangle base{a, *b, *c};
  const auto d = farthest(points, tolerance, [&](const Vector3d& p) { return std::abs(height(points, base, p)); });
  if (!d) return std::nullopt;
  const bool above = height(points, base, points[*d]) > 0;
  const std::uint32_t p = above ? *b : a, q = above ? a : *b, r = *c, s = *d;
  return std::vector<Triangle>{{p, q, r}, {q, p, s}, {r, q, s}, {p, r, s}};
}

/// Replaces what a point sees by a fan from the point to the rim of what it sees.
void add_point(const Points& points, std::uint32_t point, double tolerance, std::vector<Triangle>& hull) {
  const auto seen = std::partition(
      hull.begin(), hull.end(), [&](const Triangle& face) { return height(points, face, points[point]) <= tolerance; });
  std::map<DirectedEdge, int> rim;
  for (auto face = seen; face != hull.end(); ++face)
    for (std::size_t i = 0; i < 3; ++i) {
      const std::uint32_t from = (*face)[i], to = (*face)[(i + 1) % 3];
      if (rim.erase({to, from}) == 0) rim[{from, to}] = 1;
    }
  hull.erase(seen, hull.end());
  for (const auto& [edge, once] : rim) hull.push_back({edge.first, edge.second, point});
}

std::uint32_t root(std::vector<std::uint32_t>& parent, std::uint32_t i) {
  while (parent[i] != i) i = parent[i] = parent[parent[i]];
  return i;
}

double doubled_area(const Points& points, const Triangle& t) {
  return (points[t[1]] - points[t[0]]).cross(points[t[2]] - points[t[0]]).norm();
}

/// Triangles that share an edge and lie in one plane get one number.
std::vector<std::uint32_t> numbers_of_faces(const Points& points, const std::vector<Triangle>& hull, double tolerance) {
  std::map<DirectedEdge, std::uint32_t> left_of;
  for (std::uint32_t t = 0; t < hull.size(); ++t)
    for (std::size_t i = 0; i < 3; ++i) left_of[{hull[t][i], hull[t][(i + 1) % 3]}] = t;
  std::vector<std::uint32_t> parent(hull.size());
  std::iota(parent.begin(), parent.end(), 0U);
  for (const auto& [edge, one] : left_of) {
    const std::uint32_t other = left_of.at({edge.second, edge.first});
    const bool larger = doubled_area(points, hull[one]) >= doubled_area(points, hull[other]);
    const Triangle &plane = hull[larger ? one : other], &tested = hull[larger ? other : one];
    if (std::all_of(tested.begin(), tested.end(),
                    [&](std::uint32_t corner) { return std::abs(height(points, plane, points[corner])) <= tolerance; }))
      parent[root(parent, one)] = root(parent, other);
  }
  for (std::uint32_t t = 0; t < parent.size(); ++t) parent[t] = root(parent, t);
  return parent;
}

/// The border of all triangles with a number, as one loop.
std::vector<std::uint32_t> loop_around(const std::vector<Triangle>& hull, const std::vector<std::uint32_t>& numbers,
                                       std::uint32_t number) {
  std::map<DirectedEdge, int> edges;
  for (std::size_t t = 0; t < hull.size(); ++t)
    for (std::size_t i = 0; numbers[t] == number && i < 3; ++i) {
      const std::uint32_t from = hull[t][i], to = hull[t][(i + 1) % 3];
      if (edges.erase({to, from}) == 0) edges[{from, to}] = 1;
    }
  std::map<std::uint32_t, std::uint32_t> next;
  for (const auto& [edge, once] : edges) next[edge.first] = edge.second;
  std::vector<std::uint32_t> loop{next.begin()->first};
  while (next.at(loop.back()) != loop.front() && loop.size() <= next.size()) loop.push_back(next.at(loop.back()));
  if (loop.size() != edges.size()) throw std::logic_error("a face of a convex hull has no single border");
  return loop;
}

/// Drops points that only two faces meet in: they lie on a straight edge. Numbers the others anew.
ConvexSolid tidied(const Points& points, std::vector<std::vector<std::uint32_t>> faces) {
  std::vector<int> faces_at(points.size(), 0);
  for (const auto& face : faces)
    for (const std::uint32_t corner : face) ++faces_at[corner];
  ConvexSolid solid;
  std::vector<std::uint32_t> number(points.size(), 0);
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (faces_at[i] < 3) continue;
    number[i] = static_cast<std::uint32_t>(solid.points.size());
    solid.points.push_back(points[i]);
  }
  for (auto& face : faces) {
    std::vector<std::uint32_t> corners;
    for (const std::uint32_t corner : face)
      if (faces_at[corner] >= 3) corners.push_back(number[corner]);
    solid.faces.push_back(std::move(corners));
  }
  return solid;
}

}  // namespace

std::optional<ConvexSolid> convex_hull(const std::vector<Vector3d>& points) {
  Box box;
  for (const Vector3d& point : points) box.add(point);
  if (points.empty()) return std::nullopt;
  const double tolerance = flatness * (box.high - box.low).norm();
  auto hull = first_tetrahedron(points, tolerance);
  if (!hull) return std::nullopt;
  for (std::uint32_t i = 0; i < points.size(); ++i) add_point(points, i, tolerance, *hull);
  const auto numbers = numbers_of_faces(points, *hull, tolerance);
  std::vector<std::vector<std::uint32_t>> faces;
  for (std::uint32_t t = 0; t < numbers.size(); ++t)
    if (numbers[t] == t) faces.push_back(loop_around(*hull, numbers, t));
  return tidied(points, std::move(faces));
}

ConvexSolid placed(const ConvexSolid& solid, const Pose& its_frame_in_other) {
  ConvexSolid result = solid;
  for (Vector3d& point : result.points) point = its_frame_in_other * point;
  return result;
}

Mesh mesh_of(const ConvexSolid& solid) {
  Mesh mesh;
  mesh.vertices = solid.points;
  for (const auto& face : solid.faces)
    for (std::size_t i = 1; i + 1 < face.size(); ++i) mesh.triangles.push_back({face[0], face[i], face[i + 1]});
  return mesh;
}

Mesh mesh_of(const std::vector<ConvexSolid>& solids) {
  Mesh all;
  for (const ConvexSolid& solid : solids) {
    const Mesh mesh = mesh_of(solid);
    const auto first = static_cast<std::uint32_t>(all.vertices.size());
    all.vertices.insert(all.vertices.end(), mesh.vertices.begin(), mesh.vertices.end());
    for (const auto& [a, b, c] : mesh.triangles) all.triangles.push_back({first + a, first + b, first + c});
  }
  return all;
}

std::vector<HalfSpace> half_spaces(const ConvexSolid& solid) {
  std::vector<HalfSpace> all;
  for (const auto& face : solid.faces) {
    // Newell's sum over the loop: the area's direction, exact for a plane face however short a side is.
    Vector3d normal = Vector3d::Zero();
    for (std::size_t i = 0; i < face.size(); ++i)
      normal += (solid.points[face[i]] - solid.points[face[0]])
                    .cross(solid.points[face[(i + 1) % face.size()]] - solid.points[face[0]]);
    normal.normalize();
    double offset = -std::numeric_limits<double>::infinity();
    for (const std::uint32_t corner : face) offset = std::max(offset, normal.dot(solid.points[corner]));
    all.push_back({normal, offset});
  }
  return all;
}

}  // namespace cellproof
