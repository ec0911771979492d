// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/surface_mesh.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace cellproof {

namespace {

/// Of twice the triangle's area.
std::vector<Vector3d> area_normals(const Mesh& mesh) {
  std::vector<Vector3d> normals;
  normals.reserve(mesh.triangles.size());
  for (const Triangle& triangle : mesh.triangles) {
    const Vector3d &a = mesh.vertices[triangle[0]], &b = mesh.vertices[triangle[1]], &c = mesh.vertices[triangle[2]];
    normals.push_back((b - a).cross(c - a));
  }
  return normals;
}

bool no_crease(const Vector3d& a, const Vector3d& b) {
  return a.dot(b) >= std::cos(crease_angle) * a.norm() * b.norm();
}

/// An edge from its lower to its higher vertex, and a triangle on it.
struct EdgeUse {
  std::uint32_t low = 0, high = 0;
  std::size_t triangle = 0;
  bool same_edge(const EdgeUse& other) const { return low == other.low && high == other.high; }
};

std::vector<EdgeUse> edge_uses(const Mesh& mesh) {
  std::vector<EdgeUse> uses;
  uses.reserve(3 * mesh.triangles.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::size_t i = 0; i < 3; ++i) {
      const auto a = mesh.triangles[t][i], b = mesh.triangles[t][(i + 1) % 3];
      uses.push_back({std::min(a, b), std::max(a, b), t});
    }
  std::ranges::sort(uses, [](const EdgeUse& a, const EdgeUse& b) {
    return std::tie(a.low, a.high, a.triangle) < std::tie(b.low, b.high, b.triangle);
  });
  return uses;
}

}  // namespace

DrawnSurface drawn_surface(const Mesh& mesh) {
  const std::vector<Vector3d> normals = area_normals(mesh);
  std::vector<std::vector<std::uint32_t>> about(mesh.vertices.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (const auto vertex : mesh.triangles[t]) about[vertex].push_back(static_cast<std::uint32_t>(t));
  DrawnSurface surface;
  surface.corners.reserve(3 * mesh.triangles.size());
  surface.normals.reserve(3 * mesh.triangles.size());
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t)
    for (const auto vertex : mesh.triangles[t]) {
      Vector3d sum = Vector3d::Zero();
      for (const auto other : about[vertex])
        if (no_crease(normals[t], normals[other])) sum += normals[other];
      surface.corners.push_back(mesh.vertices[vertex]);
      surface.normals.push_back(sum.normalized());
    }
  return surface;
}

std::vector<std::array<Vector3d, 2>> creases(const Mesh& mesh) {
  const std::vector<Vector3d> normals = area_normals(mesh);
  const std::vector<EdgeUse> uses = edge_uses(mesh);
  std::vector<std::array<Vector3d, 2>> lines;
  for (std::size_t from = 0, to = 0; from < uses.size(); from = to) {
    while (to < uses.size() && uses[to].same_edge(uses[from])) ++to;
    const bool plain = to - from == 2 && no_crease(normals[uses[from].triangle], normals[uses[from + 1].triangle]);
    if (!plain) lines.push_back({mesh.vertices[uses[from].low], mesh.vertices[uses[from].high]});
  }
  return lines;
}

}  // namespace cellproof
