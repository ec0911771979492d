// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/zone_overlap.hpp"

#include <algorithm>

#include "scene/cell/zone_shape.hpp"

namespace cellproof {

namespace {

struct Extent {
  Vector2d low, high;
};

Extent extent_of(const Suction& zone) {
  if (zone.circle) return {Vector2d::Constant(-*zone.circle), Vector2d::Constant(*zone.circle)};
  Extent extent{zone.outline.front(), zone.outline.front()};
  for (const Vector2d& corner : zone.outline) {
    extent.low = extent.low.cwiseMin(corner);
    extent.high = extent.high.cwiseMax(corner);
  }
  return extent;
}

bool draws_at(const Suction& zone, const Vector2d& point) {
  if (!(zone.circle ? point.norm() < *zone.circle : inside_polygon(zone.outline, point))) return false;
  return std::ranges::none_of(zone.holes, [&](const Outline& hole) { return inside_polygon(hole, point); });
}

}  // namespace

double overlap_share(const Suction& one, const Suction& other) {
  if (one.placed.on != other.placed.on) return 0;
  const bool first_is_smaller = zone_area(one).area <= zone_area(other).area;
  const Suction &small = first_is_smaller ? one : other, &large = first_is_smaller ? other : one;
  const Pose in_large = large.placed.at.inverse() * small.placed.at;
  constexpr double same_way = 0.7;  // cosine: 45 degrees
  if (in_large.linear()(2, 2) < same_way) return 0;
  constexpr int steps = 64;
  const Extent extent = extent_of(small);
  int mine = 0, both = 0;
  for (int i = 0; i < steps; ++i)
    for (int k = 0; k < steps; ++k) {
      const Vector2d share((i + 0.5) / steps, (k + 0.5) / steps);
      const Vector2d point = extent.low + share.cwiseProduct(extent.high - extent.low);
      if (!draws_at(small, point)) continue;
      ++mine;
      if (draws_at(large, (in_large * Vector3d(point.x(), point.y(), 0)).head<2>())) ++both;
    }
  return mine > 0 ? static_cast<double>(both) / mine : 0;
}

}  // namespace cellproof
