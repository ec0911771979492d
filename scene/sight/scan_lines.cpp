// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/scan_lines.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "scene/sight/scatter.hpp"

namespace cellproof {
namespace {

constexpr double fewest_strips = 64, most_strips = 448;
constexpr double most_covers = 200000;  // over all lines together, unless the fewest lines meet more

Vector2d direction(double angle) {
  return {std::cos(angle), std::sin(angle)};
}
Vector2d across(const Vector2d& along) {
  return {-along.y(), along.x()};
}

/// The part of a straight line from a to b inside the window, as shares of the way (Y.-D. Liang, B. Barsky, 1984).
std::optional<std::pair<double, double>> part_inside(const Vector2d& a, const Vector2d& b) {
  double from = 0, to = 1;
  for (int k = 0; k < 2; ++k) {
    const double way = b[k] - a[k];
    if (way == 0) {
      if (std::abs(a[k]) > 0.5) return std::nullopt;
      continue;
    }
    const double low = (-0.5 - a[k]) / way, high = (0.5 - a[k]) / way;
    from = std::max(from, std::min(low, high));
    to = std::min(to, std::max(low, high));
  }
  if (!(from < to)) return std::nullopt;
  return std::pair(from, to);
}

/// A sample of the edges, cut to the window: as vectors.
std::vector<Vector2d> edges_inside(std::span<const Shadow> shadows, std::span<const Edge> others) {
  constexpr std::size_t enough = 1500;
  std::vector<Vector2d> edges;
  const auto add = [&](const Vector2d& a, const Vector2d& b) {
    if (const auto inside = part_inside(a, b)) edges.emplace_back((inside->second - inside->first) * (b - a));
  };
  const std::size_t stride = shadows.size() / enough + 1;
  for (std::size_t i = 0; i < shadows.size(); i += stride) {
    const std::size_t count = shadows[i].corners;
    for (std::size_t k = 0; k < count; ++k)
      add(shadows[i].corner[k].head<2>(), shadows[i].corner[(k + 1) % count].head<2>());
  }
  for (const auto& [a, b] : others) add(a, b);
  return edges;
}

/// The direction with the least error to expect: an edge across the lines is off by up to a strip's breadth squared
/// times its slope, one along them by its length times the breadth.
Vector2d best_direction(const std::vector<Vector2d>& edges) {
  constexpr int directions = 20;
  constexpr double strip = 1.0 / most_strips;
  Vector2d best;
  double least = std::numeric_limits<double>::infinity();
  for (int i = 0; i < directions; ++i) {
    const Vector2d along = direction((i + 0.41) * pi / directions);  // none along the window's sides
    double error = 0;
    for (const Vector2d& edge : edges) {
      const double with = std::abs(along.dot(edge)), off = std::abs(across(along).dot(edge));
      const double length = edge.norm();
      error += std::pow(std::min(length, strip * with / std::max(off, 1e-12)), 2);
    }
    if (error < least) {
      least = error;
      best = along;
    }
  }
  return best;
}

double extent_across(const Shadow& shadow, const Vector2d& normal, double limit) {
  double low = limit, high = -limit;
  for (std::size_t k = 0; k < shadow.corners; ++k) {
    const double at = normal.dot(shadow.corner[k].head<2>());
    low = std::min(low, at);
    high = std::max(high, at);
  }
  return std::max(0.0, std::min(high, limit) - std::max(low, -limit));
}

/// How many strips the window is cut into.
double strips_for(std::span<const Shadow> shadows, const Vector2d& normal) {
  const double limit = 0.5 * normal.lpNorm<1>();
  double covers = 0;  // that a line meets in the mean
  for (const Shadow& shadow : shadows) covers += extent_across(shadow, normal, limit) / (2 * limit);
  return std::clamp(most_covers / (2 * covers + 1), fewest_strips, most_strips);
}

ScanLine line_at(const Vector2d& along, double offset, double breadth) {
  const Vector2d middle = offset * across(along);
  const Vector2d a = middle - 2 * along;
  const auto inside = part_inside(a, middle + 2 * along);
  if (!inside) return {a, along, 0, breadth};
  return {a + 4 * inside->first * along, along, 4 * (inside->second - inside->first), breadth};
}

}  // namespace

std::vector<ScanLine> scan_lines(std::span<const Shadow> shadows, std::span<const Edge> others) {
  const Vector2d along = best_direction(edges_inside(shadows, others));
  const Vector2d normal = across(along);
  const double far = 0.5 * normal.lpNorm<1>(), near = 0.5 * std::abs(std::abs(normal.x()) - std::abs(normal.y()));
  const double strips = strips_for(shadows, normal);
  std::vector<ScanLine> lines;
  std::uint64_t number = 0;
  // Cut at the window's corners, so that all strips have straight ends.
  for (const auto& [from, to] : {std::pair(-far, -near), std::pair(-near, near), std::pair(near, far)}) {
    const auto count = static_cast<int>(std::ceil(strips * (to - from) / (2 * far)));
    for (int i = 0; i < count; ++i) {
      const double breadth = (to - from) / count, middle = from + (i + 0.5) * breadth;
      const double off = 0.5 * breadth * scattered(number++, 0).x();
      lines.push_back(line_at(along, middle - off, 0.5 * breadth));
      lines.push_back(line_at(along, middle + off, 0.5 * breadth));
    }
  }
  return lines;
}

namespace {

/// The lines that a shadow may lie over: they are sorted across.
std::pair<std::size_t, std::size_t> lines_under(const Shadow& shadow, const std::vector<double>& offsets,
                                                const Vector2d& normal) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (std::size_t k = 0; k < shadow.corners; ++k) {
    const double at = normal.dot(shadow.corner[k].head<2>());
    low = std::min(low, at);
    high = std::max(high, at);
  }
  const auto begin = std::ranges::lower_bound(offsets, low), end = std::ranges::upper_bound(offsets, high);
  return {static_cast<std::size_t>(begin - offsets.begin()), static_cast<std::size_t>(end - offsets.begin())};
}

/// Where a convex shadow lies over the line; nothing if it only touches.
std::optional<Cover> cover_of(const Shadow& shadow, const ScanLine& line) {
  const Vector2d normal = across(line.along);
  const std::size_t count = shadow.corners;
  std::array<double, 5> off;
  for (std::size_t k = 0; k < count; ++k) off[k] = normal.dot(shadow.corner[k].head<2>() - line.start);
  std::array<Vector2d, 2> met;  // place on the line, nearness
  std::size_t found = 0;
  for (std::size_t k = 0; k < count && found < 2; ++k) {
    std::size_t a = k, b = (k + 1) % count;
    if ((off[a] >= 0) == (off[b] >= 0)) continue;
    if (off[a] > off[b]) std::swap(a, b);  // the same way round for both neighbours along the edge
    const Vector3d at = shadow.corner[a] + (off[a] / (off[a] - off[b])) * (shadow.corner[b] - shadow.corner[a]);
    met[found++] = {line.along.dot(at.head<2>() - line.start), at.z()};
  }
  if (found < 2) return std::nullopt;
  if (met[0].x() > met[1].x()) std::swap(met[0], met[1]);
  const double way = met[1].x() - met[0].x(), from = std::max(0.0, met[0].x()), to = std::min(line.length, met[1].x());
  if (!(from < to)) return std::nullopt;
  const double slope = (met[1].y() - met[0].y()) / way;
  return Cover{from, to, met[0].y() + (from - met[0].x()) * slope, met[0].y() + (to - met[0].x()) * slope, shadow.body};
}

}  // namespace

LineCovers::LineCovers(std::span<const Shadow> shadows, const std::vector<ScanLine>& lines)
    : shadows_(shadows), lines_(lines), begin_(lines.size() + 1, 0) {
  if (lines.empty()) return;
  const Vector2d normal = across(lines.front().along);
  std::vector<double> offsets;
  for (const ScanLine& line : lines) offsets.push_back(normal.dot(line.start));
  std::ranges::sort(offsets);  // to rounding they are
  std::vector<std::pair<std::size_t, std::size_t>> under;
  under.reserve(shadows.size());
  for (const Shadow& shadow : shadows) {
    under.push_back(lines_under(shadow, offsets, normal));
    for (std::size_t line = under.back().first; line < under.back().second; ++line) ++begin_[line + 1];
  }
  for (std::size_t line = 0; line < lines.size(); ++line) begin_[line + 1] += begin_[line];
  shadow_of_.resize(begin_.back());
  std::vector<std::size_t> next(begin_.begin(), begin_.end() - 1);
  for (std::size_t i = 0; i < shadows.size(); ++i)
    for (std::size_t line = under[i].first; line < under[i].second; ++line)
      shadow_of_[next[line]++] = static_cast<std::uint32_t>(i);
}

std::vector<Cover> LineCovers::over(std::size_t line) const {
  std::vector<Cover> covers;
  covers.reserve(begin_[line + 1] - begin_[line]);
  for (std::size_t i = begin_[line]; i < begin_[line + 1]; ++i)
    if (const auto cover = cover_of(shadows_[shadow_of_[i]], lines_[line])) covers.push_back(*cover);
  return covers;
}

}  // namespace cellproof
