// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/outlines_of_few.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

double cross(const Vector2d& a, const Vector2d& b) {
  return a.x() * b.y() - a.y() * b.x();
}

/// Where the sides before and behind side `i` meet if it is left out, and the area that this adds; infinite where they
/// never meet.
struct Grown {
  Vector2d corner = Vector2d::Zero();
  double area = std::numeric_limits<double>::infinity();
};

Grown without_side(const std::vector<Vector2d>& outline, std::size_t i) {
  const std::size_t count = outline.size();
  const Vector2d &before = outline[(i + count - 1) % count], &a = outline[i], &b = outline[(i + 1) % count],
                 &behind = outline[(i + 2) % count];
  const Vector2d in = a - before, out = b - behind;
  const double sine = cross(in, out);
  if (!(std::abs(sine) > 1e-12 * in.norm() * out.norm())) return {};
  const double along = cross(b - a, out) / sine;
  if (!(along > 0)) return {};
  const Vector2d corner = a + along * in;
  return {corner, std::abs(cross(corner - a, b - a)) / 2};
}

constexpr double straight_mm = 1e-6;  // a corner that bulges less is rounding

/// The corner that adds least area to the outline, and how far it stands off the line past it.
struct Bulge {
  std::size_t corner = 0;
  double area = std::numeric_limits<double>::infinity(), height = 0;
};

Bulge least_bulge(const std::vector<Vector2d>& outline) {
  Bulge least;
  const std::size_t count = outline.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Vector2d &a = outline[(i + count - 1) % count], past = outline[(i + 1) % count] - a;
    const double area = std::abs(cross(outline[i] - a, past)) / 2;
    if (area < least.area) least = {i, area, 2 * area / past.norm()};
  }
  return least;
}

}  // namespace

std::vector<Vector2d> outline_around(const std::vector<Vector2d>& points, std::size_t most) {
  std::vector<Vector2d> outline = convex_outline(points);
  while (outline.size() > most) {
    std::size_t least = 0;
    Grown best;
    for (std::size_t i = 0; i < outline.size(); ++i)
      if (const Grown grown = without_side(outline, i); grown.area < best.area) {
        best = grown;
        least = i;
      }
    outline[least] = best.corner;
    outline.erase(outline.begin() + static_cast<long>((least + 1) % outline.size()));
  }
  return outline;
}

std::vector<Vector2d> outline_within(const std::vector<Vector2d>& points, std::size_t most) {
  std::vector<Vector2d> outline = convex_outline(points);
  while (outline.size() > 3) {
    const Bulge least = least_bulge(outline);
    if (outline.size() <= most && least.height > straight_mm) break;
    outline.erase(outline.begin() + static_cast<long>(least.corner));
  }
  return outline;
}

}  // namespace cellproof
