// SPDX-License-Identifier: GPL-3.0-or-later
#include "models/triangulate.hpp"

#include <algorithm>
#include <limits>
#include <stdexcept>

namespace cellproof::models {
namespace {

using Index = std::uint32_t;

/// Twice the signed area of a triangle.
double area2(const Vector2d& a, const Vector2d& b, const Vector2d& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

/// True if the open segments cross in one inner point.
bool cross(const Vector2d& a, const Vector2d& b, const Vector2d& c, const Vector2d& d) {
  return area2(a, b, c) * area2(a, b, d) < 0 && area2(c, d, a) * area2(c, d, b) < 0;
}

/// Points with the loop being grown and the holes still to be joined to it.
struct Region {
  std::vector<Vector2d> points;
  std::vector<Index> loop;
  std::vector<std::vector<Index>> holes;  ///< clockwise, the rightmost last in line to be joined
};

Region region_of(const Outline& outline, const std::vector<Outline>& holes) {
  Region region;
  auto take = [&region](const Outline& from) {
    std::vector<Index> indices;
    for (const Vector2d& point : from) {
      indices.push_back(static_cast<Index>(region.points.size()));
      region.points.push_back(point);
    }
    return indices;
  };
  region.loop = take(outline);
  for (const Outline& hole : holes) {
    region.holes.push_back(take(hole));
    std::ranges::reverse(region.holes.back());
  }
  return region;
}

bool crosses_loop(const Region& region, const std::vector<Index>& loop, Index from, Index to) {
  for (std::size_t i = 0; i < loop.size(); ++i) {
    const Index a = loop[i], b = loop[(i + 1) % loop.size()];
    if (cross(region.points[from], region.points[to], region.points[a], region.points[b])) return true;
  }
  return false;
}

bool is_clear(const Region& region, Index from, Index to) {
  return !crosses_loop(region, region.loop, from, to) &&
         std::ranges::none_of(region.holes, [&](const auto& hole) { return crosses_loop(region, hole, from, to); });
}

/// Position in the loop of the nearest point that a bridge from `from` can reach. A point that already carries a bridge
/// is left alone: it stands in the loop twice, and only one of the two would be right.
std::size_t bridge_end(const Region& region, Index from) {
  std::size_t best = region.loop.size();
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < region.loop.size(); ++i) {
    const double distance = (region.points[region.loop[i]] - region.points[from]).squaredNorm();
    if (distance >= least || std::ranges::count(region.loop, region.loop[i]) > 1) continue;
    if (!is_clear(region, from, region.loop[i])) continue;
    best = i;
    least = distance;
  }
  if (best == region.loop.size()) throw std::logic_error("a hole can't be joined to its outline");
  return best;
}

/// Splices the hole that reaches furthest right into the loop.
void join_a_hole(Region& region) {
  auto rightmost = [&region](const std::vector<Index>& hole) {
    return *std::ranges::max_element(hole, {}, [&region](Index i) { return region.points[i].x(); });
  };
  const auto chosen = std::ranges::max_element(
      region.holes, {}, [&](const std::vector<Index>& hole) { return region.points[rightmost(hole)].x(); });
  const Index from = rightmost(*chosen);
  const std::size_t end = bridge_end(region, from);
  std::vector<Index> hole = *chosen;
  region.holes.erase(chosen);
  std::rotate(hole.begin(), std::ranges::find(hole, from), hole.end());
  hole.push_back(from);
  hole.push_back(region.loop[end]);
  region.loop.insert(region.loop.begin() + static_cast<std::ptrdiff_t>(end) + 1, hole.begin(), hole.end());
}

bool holds(const std::array<Vector2d, 3>& ear, const Vector2d& point) {
  for (int k = 0; k < 3; ++k) {
    if (point == ear[static_cast<std::size_t>(k)]) return false;
  }
  return area2(ear[0], ear[1], point) >= 0 && area2(ear[1], ear[2], point) >= 0 && area2(ear[2], ear[0], point) >= 0;
}

bool is_ear(const Region& region, Index a, Index b, Index c) {
  const std::array<Vector2d, 3> ear = {region.points[a], region.points[b], region.points[c]};
  if (area2(ear[0], ear[1], ear[2]) <= 1e-9) return false;
  return std::ranges::none_of(region.loop, [&](Index i) { return holds(ear, region.points[i]); });
}

std::size_t best_ear(const Region& region) {
  const std::size_t count = region.loop.size();
  std::size_t best = count;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < count; ++i) {
    const Index a = region.loop[(i + count - 1) % count], b = region.loop[i], c = region.loop[(i + 1) % count];
    const double diagonal = (region.points[a] - region.points[c]).squaredNorm();
    if (diagonal >= least || !is_ear(region, a, b, c)) continue;
    best = i;
    least = diagonal;
  }
  if (best == count) throw std::logic_error("an outline crosses itself");
  return best;
}

}  // namespace

std::vector<std::array<Index, 3>> triangulate(const Outline& outline, const std::vector<Outline>& holes) {
  Region region = region_of(outline, holes);
  while (!region.holes.empty()) join_a_hole(region);
  std::vector<std::array<Index, 3>> triangles;
  while (region.loop.size() > 2) {
    const std::size_t count = region.loop.size();
    const std::size_t i = count == 3 ? 1 : best_ear(region);
    triangles.push_back({region.loop[(i + count - 1) % count], region.loop[i], region.loop[(i + 1) % count]});
    region.loop.erase(region.loop.begin() + static_cast<std::ptrdiff_t>(i));
  }
  return triangles;
}

}  // namespace cellproof::models
