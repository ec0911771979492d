// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/simple_polygon.hpp"

#include <algorithm>

namespace cellproof {
namespace {

/// Twice the signed area of a triangle.
double turn_of(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x();
}

/// For c on the line through a and b: within the segment.
bool between(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  return std::min(a.x(), b.x()) <= c.x() && c.x() <= std::max(a.x(), b.x()) && std::min(a.y(), b.y()) <= c.y() &&
         c.y() <= std::max(a.y(), b.y());
}

bool segments_meet(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d) {
  const double abc = turn_of(a, b, c), abd = turn_of(a, b, d), cda = turn_of(c, d, a), cdb = turn_of(c, d, b);
  if (((abc > 0 && abd < 0) || (abc < 0 && abd > 0)) && ((cda > 0 && cdb < 0) || (cda < 0 && cdb > 0))) return true;
  return (abc == 0 && between(a, b, c)) || (abd == 0 && between(a, b, d)) || (cda == 0 && between(c, d, a)) ||
         (cdb == 0 && between(c, d, b));
}

/// Two neighbouring edges a–b and b–c that fold back on each other.
bool folds_back(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  return turn_of(a, b, c) == 0 && (a - b).dot(c - b) >= 0;
}

}  // namespace

bool is_simple_polygon(const Outline& corners) {
  const std::size_t count = corners.size();
  if (count < 3) return false;
  const auto corner = [&](std::size_t i) -> const Vector2d& { return corners[i % count]; };
  for (std::size_t i = 0; i < count; ++i) {
    if (folds_back(corner(i), corner(i + 1), corner(i + 2))) return false;
    for (std::size_t j = i + 2; j < count && (i > 0 || j + 1 < count); ++j)
      if (segments_meet(corner(i), corner(i + 1), corner(j), corner(j + 1))) return false;
  }
  return true;
}

bool polygons_meet(const Outline& a, const Outline& b) {
  for (std::size_t i = 0; i < a.size(); ++i)
    for (std::size_t j = 0; j < b.size(); ++j)
      if (segments_meet(a[i], a[(i + 1) % a.size()], b[j], b[(j + 1) % b.size()])) return true;
  return false;
}

}  // namespace cellproof
