// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/umbrellas.hpp"

#include <algorithm>
#include <numeric>
#include <tuple>

namespace cellproof::cad {

namespace {

/// A corner of a triangle: three times the triangle's number, plus which.
using CornerNumber = std::uint32_t;

CornerNumber root(std::vector<CornerNumber>& parent, CornerNumber corner) {
  while (parent[corner] != corner) corner = parent[corner] = parent[parent[corner]];
  return corner;
}

/// One triangle's side of an edge: its lower vertex first, with the corners that stand there.
struct EdgeSide {
  std::uint32_t low, high;
  CornerNumber at_low, at_high;
};

std::vector<EdgeSide> sides_of(const Mesh& mesh) {
  std::vector<EdgeSide> sides;
  sides.reserve(3 * mesh.triangles.size());
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t)
    for (std::uint32_t i = 0; i < 3; ++i) {
      const std::uint32_t j = (i + 1) % 3, a = mesh.triangles[t][i], b = mesh.triangles[t][j];
      if (a < b)
        sides.push_back({a, b, 3 * t + i, 3 * t + j});
      else
        sides.push_back({b, a, 3 * t + j, 3 * t + i});
    }
  std::sort(sides.begin(), sides.end(), [](const EdgeSide& one, const EdgeSide& other) {
    return std::tie(one.low, one.high, one.at_low) < std::tie(other.low, other.high, other.at_low);
  });
  return sides;
}

}  // namespace

Umbrellas umbrellas_of(const Mesh& mesh) {
  std::vector<CornerNumber> parent(3 * mesh.triangles.size());
  std::iota(parent.begin(), parent.end(), 0U);
  const std::vector<EdgeSide> sides = sides_of(mesh);
  for (std::size_t i = 1; i < sides.size(); ++i) {
    const EdgeSide &a = sides[i - 1], &b = sides[i];
    if (a.low != b.low || a.high != b.high) continue;
    parent[root(parent, b.at_low)] = root(parent, a.at_low);
    parent[root(parent, b.at_high)] = root(parent, a.at_high);
  }
  constexpr std::uint32_t unnumbered = 0xffffffff;
  std::vector<std::uint32_t> number(parent.size(), unnumbered);
  Umbrellas result;
  for (std::uint32_t t = 0; t < mesh.triangles.size(); ++t) {
    Triangle triangle{};
    for (std::uint32_t i = 0; i < 3; ++i) {
      std::uint32_t& known = number[root(parent, 3 * t + i)];
      if (known == unnumbered) {
        known = static_cast<std::uint32_t>(result.vertex_of.size());
        result.vertex_of.push_back(mesh.triangles[t][i]);
      }
      triangle[i] = known;
    }
    result.triangles.push_back(triangle);
  }
  return result;
}

}  // namespace cellproof::cad
