// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/seen_on_seat.hpp"

#include <algorithm>

#include "scene/forces/outlines_of_few.hpp"
#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

constexpr double upward_cos = 0.9781476;  // 12 degrees
constexpr std::size_t most_rests = 16;

/// The height of a triangle over a place; nothing beside it or where it stands upright.
std::optional<double> height_at(const std::array<Vector3d, 3>& corner, const Vector2d& place) {
  const auto turn = [](const Vector2d& a, const Vector2d& b) { return a.x() * b.y() - a.y() * b.x(); };
  const Vector2d a = corner[0].head<2>(), b = corner[1].head<2>(), c = corner[2].head<2>();
  const double all = turn(b - a, c - a);
  if (all == 0) return std::nullopt;
  const double of_a = turn(b - place, c - place) / all, of_b = turn(c - place, a - place) / all;
  const double of_c = 1 - of_a - of_b;
  if (std::min({of_a, of_b, of_c}) < -1e-9) return std::nullopt;
  return of_a * corner[0].z() + of_b * corner[1].z() + of_c * corner[2].z();
}

}  // namespace

std::vector<Vector2d> outline_seen(std::span<const PlacedMesh> part) {
  std::vector<Vector2d> seen;
  for (const PlacedMesh& placed : part)
    for (const Vector3d& vertex : placed.mesh->vertices) seen.emplace_back((placed.pose * vertex).head<2>());
  return convex_outline(std::move(seen));
}

std::optional<double> top_at(std::span<const PlacedMesh> part, const Vector2d& place) {
  std::optional<double> top;
  for (const PlacedMesh& placed : part)
    for (const Triangle& triangle : placed.mesh->triangles) {
      std::array<Vector3d, 3> corner;
      for (std::size_t i = 0; i < 3; ++i) corner[i] = placed.pose * placed.mesh->vertices[triangle[i]];
      if (const auto height = height_at(corner, place)) top = std::max(top.value_or(*height), *height);
    }
  return top;
}

std::vector<Vector2d> rests_found(std::span<const PlacedMesh> part, std::span<const PlacedMesh> others,
                                  double depth_mm) {
  std::vector<Vector2d> found;
  for (const PlacedMesh& mine : part)
    for (const PlacedMesh& other : others)
      for (const PressingPoint& point : pressing_contacts(mine, other, depth_mm).points)
        if (point.normal.z() >= upward_cos) found.emplace_back(point.at.head<2>());
  return outline_within(found, most_rests);
}

}  // namespace cellproof
