// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cutting/common_volume.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

using Tetrahedron = std::array<Vector3d, 4>;

double six_volumes(const Tetrahedron& t) {
  return (t[1] - t[0]).dot((t[2] - t[0]).cross(t[3] - t[0]));
}

/// Where the way from a to b meets the plane that they lie on different sides of.
Vector3d meeting(const Vector3d& a, double height_a, const Vector3d& b, double height_b) {
  return a + (b - a) * (height_a / (height_a - height_b));
}

/// Three tetrahedra between two triangles.
void add_prism(const std::array<Vector3d, 3>& low, const std::array<Vector3d, 3>& high, std::vector<Tetrahedron>& to) {
  to.push_back({low[0], low[1], low[2], high[0]});
  to.push_back({low[1], low[2], high[0], high[1]});
  to.push_back({low[2], high[0], high[1], high[2]});
}

/// Adds what of a tetrahedron lies in the half space.
void add_clipped(Tetrahedron t, const HalfSpace& space, std::vector<Tetrahedron>& to) {
  std::array<double, 4> height{};
  const auto take_heights = [&] {
    for (std::size_t i = 0; i < 4; ++i) height[i] = space.normal.dot(t[i]) - space.offset;
  };
  // Those inside first.
  std::stable_sort(t.begin(), t.end(), [&](const Vector3d& a, const Vector3d& b) {
    return (space.normal.dot(a) <= space.offset) && !(space.normal.dot(b) <= space.offset);
  });
  take_heights();
  const auto inside = std::count_if(t.begin(), t.end(),
                                    [&](const Vector3d& corner) { return space.normal.dot(corner) <= space.offset; });
  const auto met = [&](std::size_t a, std::size_t b) { return meeting(t[a], height[a], t[b], height[b]); };
  if (inside == 4) to.push_back(t);
  if (inside == 3) add_prism({t[0], t[1], t[2]}, {met(0, 3), met(1, 3), met(2, 3)}, to);
  if (inside == 2) add_prism({t[0], met(0, 2), met(0, 3)}, {t[1], met(1, 2), met(1, 3)}, to);
  if (inside == 1) to.push_back({t[0], met(0, 1), met(0, 2), met(0, 3)});
}

/// True if all four corners lie outside of one and the same half space.
bool misses(const Tetrahedron& t, const std::vector<HalfSpace>& spaces) {
  return std::any_of(spaces.begin(), spaces.end(), [&](const HalfSpace& space) {
    return std::all_of(t.begin(), t.end(),
                       [&](const Vector3d& corner) { return space.normal.dot(corner) >= space.offset; });
  });
}

std::vector<Tetrahedron> clipped(const Tetrahedron& whole, const std::vector<HalfSpace>& spaces) {
  if (misses(whole, spaces)) return {};
  std::vector<Tetrahedron> kept{whole}, next;
  for (const HalfSpace& space : spaces) {
    next.clear();
    for (const Tetrahedron& piece : kept) add_clipped(piece, space, next);
    kept.swap(next);
  }
  return kept;
}

}  // namespace

SolidProperties common_part(const Mesh& mesh, const ConvexSolid& solid) {
  const std::vector<HalfSpace> spaces = half_spaces(solid);
  Vector3d middle = Vector3d::Zero();
  for (const Vector3d& point : solid.points) middle += point / static_cast<double>(solid.points.size());
  SolidProperties result;
  Vector3d first = Vector3d::Zero();
  for (const auto& [a, b, c] : mesh.triangles) {
    const Tetrahedron whole{middle, mesh.vertices[a], mesh.vertices[b], mesh.vertices[c]};
    const double sign = six_volumes(whole) < 0 ? -1 : 1;
    for (const Tetrahedron& piece : clipped(whole, spaces)) {
      const double volume = sign * std::abs(six_volumes(piece)) / 6;
      result.volume += volume;
      first += volume * ((piece[0] + piece[1] + piece[2] + piece[3]) / 4 - middle);
    }
  }
  if (result.volume > 0) result.centroid = middle + first / result.volume;
  return result;
}

}  // namespace cellproof
