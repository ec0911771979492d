// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/convex_outline.hpp"

#include <algorithm>

namespace cellproof {

namespace {

double turn(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

/// The side of the outline that points in this order pass on their left.
std::vector<Vector2d> half(const std::vector<Vector2d>& points) {
  std::vector<Vector2d> side;
  for (const Vector2d& point : points) {
    while (side.size() >= 2 && turn(side[side.size() - 2], side.back(), point) <= 0) side.pop_back();
    side.push_back(point);
  }
  return side;
}

}  // namespace

std::vector<Vector2d> convex_outline(std::vector<Vector2d> points) {
  std::sort(points.begin(), points.end(),
            [](const Vector2d& a, const Vector2d& b) { return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y(); });
  points.erase(std::unique(points.begin(), points.end()), points.end());
  if (points.size() < 2) return points;
  std::vector<Vector2d> outline = half(points);
  std::reverse(points.begin(), points.end());
  const std::vector<Vector2d> back = half(points);
  outline.pop_back();  // each half ends where the other begins
  outline.insert(outline.end(), back.begin(), back.end() - 1);
  return outline;
}

}  // namespace cellproof
