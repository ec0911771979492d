// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/zone_shape.hpp"

#include <algorithm>
#include <cmath>

#include "scene/cell/simple_polygon.hpp"

namespace cellproof {

namespace {

double cross(const Vector2d& a, const Vector2d& b) {
  return a.x() * b.y() - a.y() * b.x();
}

bool within_zone(const Suction& zone, const Vector2d& point) {
  return zone.circle ? point.norm() < *zone.circle : inside_polygon(zone.outline, point);
}

/// All corners of `inner` in the zone, and no edge of it across the zone's outline.
bool hole_inside(const Suction& zone, const Outline& inner) {
  if (!std::all_of(inner.begin(), inner.end(), [&](const Vector2d& corner) { return within_zone(zone, corner); }))
    return false;
  return zone.circle || !polygons_meet(zone.outline, inner);
}

bool apart(const Outline& a, const Outline& b) {
  return !polygons_meet(a, b) && !inside_polygon(a, b.front()) && !inside_polygon(b, a.front());
}

}  // namespace

FlatArea polygon_area(const Outline& corners) {
  FlatArea result;
  if (corners.empty()) return result;
  const Vector2d origin = corners.front();
  Vector2d first = Vector2d::Zero();
  for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
    const Vector2d a = corners[i] - origin, b = corners[i + 1] - origin;
    result.area += cross(a, b) / 2;
    first += cross(a, b) / 6 * (a + b);
  }
  if (result.area != 0) result.centroid = origin + first / result.area;
  return result;
}

FlatArea zone_area(const Suction& zone) {
  FlatArea whole =
      zone.circle ? FlatArea{pi * *zone.circle * *zone.circle, Vector2d::Zero()} : polygon_area(zone.outline);
  whole.area = std::abs(whole.area);
  Vector2d first = whole.area * whole.centroid;
  for (const Outline& hole : zone.holes) {
    const FlatArea mine = polygon_area(hole);
    whole.area -= std::abs(mine.area);
    first -= std::abs(mine.area) * mine.centroid;
  }
  if (whole.area > 0) whole.centroid = first / whole.area;
  return whole;
}

Suction grown(Suction zone, double times) {
  const double stretch = std::sqrt(times);
  const Vector2d middle = zone.circle ? Vector2d::Zero() : zone_area(zone).centroid;
  const auto stretched = [&](Outline& outline) {
    for (Vector2d& corner : outline) corner = middle + stretch * (corner - middle);
  };
  if (zone.circle) *zone.circle *= stretch;
  stretched(zone.outline);
  for (Outline& hole : zone.holes) stretched(hole);
  return zone;
}

bool inside_polygon(const Outline& corners, const Vector2d& point) {
  bool inside = false;
  for (std::size_t i = 0, j = corners.size() - 1; i < corners.size(); j = i++) {
    const Vector2d &a = corners[i], &b = corners[j];
    if ((a.y() > point.y()) != (b.y() > point.y()) &&
        point.x() < (b.x() - a.x()) * (point.y() - a.y()) / (b.y() - a.y()) + a.x())
      inside = !inside;
  }
  return inside;
}

std::vector<Outline> zone_borders(const Suction& zone, int circle_corners) {
  std::vector<Outline> borders(1, zone.outline);
  if (zone.circle) {
    borders.front().clear();
    for (int i = 0; i < circle_corners; ++i) {
      const double angle = 2 * pi * i / circle_corners;
      borders.front().emplace_back(*zone.circle * std::cos(angle), *zone.circle * std::sin(angle));
    }
  }
  borders.insert(borders.end(), zone.holes.begin(), zone.holes.end());
  return borders;
}

bool holes_fit(const Suction& zone) {
  for (std::size_t i = 0; i < zone.holes.size(); ++i) {
    if (!hole_inside(zone, zone.holes[i])) return false;
    for (std::size_t j = 0; j < i; ++j)
      if (!apart(zone.holes[i], zone.holes[j])) return false;
  }
  return true;
}

}  // namespace cellproof
