// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/large_triangles.hpp"

#include <queue>
#include <utility>

namespace cellproof {

namespace {

constexpr double large_share = 1.0 / 24;  // of the box's diagonal
constexpr std::size_t most_cuts = 8192;

/// The longest edge of a triangle, from its corner `first` to the next.
struct LongEdge {
  double squared = 0;
  std::uint32_t piece = 0, first = 0;
  bool operator<(const LongEdge& other) const {
    return squared != other.squared ? squared < other.squared : piece > other.piece;
  }
};

LongEdge longest_edge(const Mesh& mesh, std::uint32_t piece) {
  LongEdge longest{-1, piece, 0};
  const Triangle& triangle = mesh.triangles[piece];
  for (std::uint32_t i = 0; i < 3; ++i) {
    const double squared = (mesh.vertices[triangle[(i + 1) % 3]] - mesh.vertices[triangle[i]]).squaredNorm();
    if (squared > longest.squared) longest = {squared, piece, i};
  }
  return longest;
}

/// Cuts a piece across its longest edge; the second half is the last piece.
void cut(CutMesh& mesh, const LongEdge& edge) {
  const Triangle whole = mesh.pieces.triangles[edge.piece];
  const std::uint32_t a = whole[edge.first], b = whole[(edge.first + 1) % 3], c = whole[(edge.first + 2) % 3];
  const auto middle = static_cast<std::uint32_t>(mesh.pieces.vertices.size());
  mesh.pieces.vertices.push_back(0.5 * (mesh.pieces.vertices[a] + mesh.pieces.vertices[b]));
  mesh.pieces.triangles[edge.piece] = {a, middle, c};
  mesh.pieces.triangles.push_back({middle, b, c});
  mesh.triangle_of_piece.push_back(mesh.triangle_of_piece[edge.piece]);
}

}  // namespace

std::optional<CutMesh> cut_large_triangles(const Mesh& mesh) {
  const Box box = box_of(mesh);
  const double large = (large_share * (box.high - box.low)).squaredNorm();
  std::priority_queue<LongEdge> edges;
  for (std::uint32_t i = 0; i < mesh.triangles.size(); ++i)
    if (const LongEdge edge = longest_edge(mesh, i); edge.squared > large) edges.push(edge);
  if (edges.empty()) return std::nullopt;

  CutMesh result;
  result.pieces.vertices = mesh.vertices;
  result.pieces.triangles = mesh.triangles;
  for (std::uint32_t i = 0; i < mesh.triangles.size(); ++i) result.triangle_of_piece.push_back(i);
  for (std::size_t cuts = 0; cuts < most_cuts && !edges.empty(); ++cuts) {
    const LongEdge edge = edges.top();
    edges.pop();
    cut(result, edge);
    for (const std::uint32_t piece : {edge.piece, static_cast<std::uint32_t>(result.pieces.triangles.size() - 1)})
      if (const LongEdge rest = longest_edge(result.pieces, piece); rest.squared > large) edges.push(rest);
  }
  return result;
}

}  // namespace cellproof
