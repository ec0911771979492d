// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/mesh_pieces.hpp"

#include <algorithm>
#include <map>
#include <numeric>

namespace cellproof {

namespace {

/// The representative of a set of vertices.
std::uint32_t root(std::vector<std::uint32_t>& parent, std::uint32_t vertex) {
  while (parent[vertex] != vertex) vertex = parent[vertex] = parent[parent[vertex]];
  return vertex;
}

/// How often the closed shells with a positive volume wind about a point.
double solid_about(const std::vector<Mesh>& pieces, const std::vector<double>& volumes, const Vector3d& point) {
  double winding = 0;
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (volumes[i] > 0 && box_of(pieces[i]).contains(point)) winding += winding_number(pieces[i], point);
  return winding;
}

}  // namespace

std::vector<Mesh> separate_shells(const Mesh& mesh) {
  const Shells numbered = shells(mesh);
  std::vector<Mesh> pieces(numbered.count);
  constexpr std::uint32_t unnumbered = 0xffffffff;
  std::vector<std::uint32_t> number(mesh.vertices.size(), unnumbered);
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    Mesh& piece = pieces[numbered.shell_of_triangle[t]];
    Triangle mine{};
    for (std::size_t i = 0; i < 3; ++i) {
      std::uint32_t& known = number[mesh.triangles[t][i]];
      if (known == unnumbered) {
        known = static_cast<std::uint32_t>(piece.vertices.size());
        piece.vertices.push_back(mesh.vertices[mesh.triangles[t][i]]);
      }
      mine[i] = known;
    }
    piece.triangles.push_back(mine);
  }
  for (Mesh& piece : pieces) piece.deviation = mesh.deviation;
  return pieces;
}

std::vector<Edge> open_edges(const Mesh& mesh) {
  std::vector<std::pair<Edge, bool>> sides;  // low and high vertex, and whether it runs from low to high
  sides.reserve(3 * mesh.triangles.size());
  for (const Triangle& triangle : mesh.triangles)
    for (std::size_t i = 0; i < 3; ++i) {
      const std::uint32_t from = triangle[i], to = triangle[(i + 1) % 3];
      sides.push_back({{std::min(from, to), std::max(from, to)}, from < to});
    }
  std::sort(sides.begin(), sides.end());
  std::vector<Edge> open;
  for (auto at = sides.begin(); at != sides.end();) {
    const auto next = std::find_if(at, sides.end(), [&](const auto& side) { return side.first != at->first; });
    if (next - at != 2 || at[0].second == at[1].second) open.push_back(at->first);
    at = next;
  }
  return open;
}

std::vector<Hole> holes(const Mesh& mesh) {
  const std::vector<Edge> open = open_edges(mesh);
  std::vector<std::uint32_t> parent(mesh.vertices.size());
  std::iota(parent.begin(), parent.end(), 0U);
  for (const Edge& edge : open) parent[root(parent, edge[1])] = root(parent, edge[0]);
  std::map<std::uint32_t, Hole> of_root;
  for (const Edge& edge : open) {
    Hole& hole = of_root[root(parent, edge[0])];
    ++hole.edges;
    hole.length_mm += (mesh.vertices[edge[1]] - mesh.vertices[edge[0]]).norm();
    for (const std::uint32_t vertex : edge) hole.box.add(mesh.vertices[vertex]);
  }
  std::vector<Hole> all;
  for (const auto& [vertex, hole] : of_root) all.push_back(hole);
  std::stable_sort(all.begin(), all.end(), [](const Hole& a, const Hole& b) { return a.length_mm > b.length_mm; });
  return all;
}

std::vector<char> turned_inside_out(const std::vector<Mesh>& pieces) {
  std::vector<double> volumes;
  for (const Mesh& piece : pieces) volumes.push_back(closedness(piece).closed ? solid_properties(piece).volume : 0);
  std::vector<char> turned(pieces.size(), 0);
  for (std::size_t i = 0; i < pieces.size(); ++i)
    turned[i] = volumes[i] < 0 && solid_about(pieces, volumes, pieces[i].vertices.front()) < 0.5;
  return turned;
}

}  // namespace cellproof
