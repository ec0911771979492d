// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/mesh.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace cellproof {

namespace {

/// One side of an edge, kept with the edge's lower vertex.
struct HalfEdge {
  std::uint32_t high = 0;
  bool rising = false;  ///< runs from the lower vertex number to the higher
  bool operator<(const HalfEdge& other) const { return high != other.high ? high < other.high : rising < other.rising; }
};

/// Calls visit(low, half edge) for every side of every triangle.
template <class Visit>
void for_each_half_edge(const Mesh& mesh, Visit visit) {
  for (const Triangle& triangle : mesh.triangles)
    for (std::size_t i = 0; i < 3; ++i) {
      const std::uint32_t from = triangle[i], to = triangle[(i + 1) % 3];
      visit(std::min(from, to), HalfEdge{std::max(from, to), from < to});
    }
}

/// Edges of one lower vertex that don't have exactly two opposite sides. Sorts the sides.
std::size_t count_open(HalfEdge* begin, HalfEdge* end) {
  std::sort(begin, end);
  std::size_t open = 0;
  while (begin != end) {
    HalfEdge* next = begin;
    while (next != end && next->high == begin->high) ++next;
    if (next - begin != 2 || begin[0].rising == begin[1].rising) ++open;
    begin = next;
  }
  return open;
}

std::uint32_t root(std::vector<std::uint32_t>& parent, std::uint32_t vertex) {
  while (parent[vertex] != vertex) {
    parent[vertex] = parent[parent[vertex]];
    vertex = parent[vertex];
  }
  return vertex;
}

}  // namespace

bool Box::contains(const Vector3d& point) const {
  return (point.array() >= low.array()).all() && (point.array() <= high.array()).all();
}

void Box::add(const Vector3d& point) {
  low = low.cwiseMin(point);
  high = high.cwiseMax(point);
}

std::array<Vector3d, 8> Box::corners() const {
  std::array<Vector3d, 8> all;
  for (std::size_t i = 0; i < 8; ++i)
    all[i] = {(i & 1U) ? high.x() : low.x(), (i & 2U) ? high.y() : low.y(), (i & 4U) ? high.z() : low.z()};
  return all;
}

Box box_of(const Mesh& mesh) {
  Box box;
  for (const Vector3d& vertex : mesh.vertices) box.add(vertex);
  return box;
}

Closedness closedness(const Mesh& mesh) {
  // Sides are gathered by their lower vertex (a counting sort), so that each vertex sorts a handful only.
  std::vector<std::size_t> begin(mesh.vertices.size() + 1, 0);
  for_each_half_edge(mesh, [&](std::uint32_t low, HalfEdge) { ++begin[low + 1]; });
  std::partial_sum(begin.begin(), begin.end(), begin.begin());
  std::vector<HalfEdge> sides(begin.back());
  std::vector<std::size_t> filled(begin.begin(), begin.end() - 1);
  for_each_half_edge(mesh, [&](std::uint32_t low, HalfEdge side) { sides[filled[low]++] = side; });

  Closedness result;
  for (std::size_t v = 0; v < mesh.vertices.size(); ++v)
    result.open_edges += count_open(sides.data() + begin[v], sides.data() + begin[v + 1]);
  result.closed = result.open_edges == 0 && !mesh.triangles.empty();
  return result;
}

Shells shells(const Mesh& mesh) {
  std::vector<std::uint32_t> parent(mesh.vertices.size());
  std::iota(parent.begin(), parent.end(), 0U);
  for (const Triangle& triangle : mesh.triangles)
    for (std::size_t i = 1; i < 3; ++i) {
      const std::uint32_t a = root(parent, triangle[0]), b = root(parent, triangle[i]);
      parent[std::max(a, b)] = std::min(a, b);
    }
  constexpr std::uint32_t unnumbered = 0xffffffff;
  std::vector<std::uint32_t> number(mesh.vertices.size(), unnumbered);
  Shells result;
  result.shell_of_triangle.reserve(mesh.triangles.size());
  for (const Triangle& triangle : mesh.triangles) {
    std::uint32_t& shell = number[root(parent, triangle[0])];
    if (shell == unnumbered) shell = result.count++;
    result.shell_of_triangle.push_back(shell);
  }
  return result;
}

double surface_area(const Mesh& mesh) {
  if (mesh.exact) return mesh.exact->area;
  double twice = 0;
  for (const auto& [a, b, c] : mesh.triangles)
    twice += (mesh.vertices[b] - mesh.vertices[a]).cross(mesh.vertices[c] - mesh.vertices[a]).norm();
  return twice / 2;
}

double winding_number(const Mesh& mesh, const Vector3d& point) {
  double half_angles = 0;
  for (const auto& [i, j, k] : mesh.triangles) {
    const Vector3d a = mesh.vertices[i] - point, b = mesh.vertices[j] - point, c = mesh.vertices[k] - point;
    const double la = a.norm(), lb = b.norm(), lc = c.norm();
    half_angles += std::atan2(a.dot(b.cross(c)), la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb);
  }
  return half_angles / (2 * pi);
}

}  // namespace cellproof
