// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/tipping_lines.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

/// The outline's corners of the centres that have no radius, as disks.
std::vector<Disk> corners_of_points(const std::vector<Disk>& disks) {
  std::vector<Vector2d> points;
  for (const Disk& disk : disks)
    if (disk.radius <= 0) points.push_back(disk.centre);
  std::vector<Disk> corners;
  for (const Vector2d& corner : convex_outline(std::move(points))) corners.push_back({corner, 0});
  return corners;
}

struct Support {
  double offset = -std::numeric_limits<double>::infinity();
  bool round = false;  ///< on a disk, not on a corner
};

Support support(const std::vector<Disk>& disks, const Vector2d& outward) {
  Support best;
  for (const Disk& disk : disks) {
    const double offset = outward.dot(disk.centre) + disk.radius;
    if (offset > best.offset) best = {offset, disk.radius > 0};
  }
  return best;
}

/// The two outer common tangents of two disks, those that bound the whole hull.
void add_tangents(const std::vector<Disk>& all, const Disk& a, const Disk& b, std::vector<TippingLine>& lines) {
  const Vector2d between = b.centre - a.centre;
  const double distance = between.norm();
  if (!(distance > std::abs(a.radius - b.radius))) return;
  const double along = (a.radius - b.radius) / distance, across = std::sqrt(std::max(0.0, 1 - along * along));
  const Vector2d way = between / distance, side(-way.y(), way.x());
  for (const double sign : {-1.0, 1.0}) {
    const Vector2d outward = along * way + sign * across * side;
    const double offset = outward.dot(a.centre) + a.radius;
    if (support(all, outward).offset <= offset + 1e-9 * (1 + std::abs(offset))) lines.push_back({outward, offset});
  }
}

void add_rounds(const std::vector<Disk>& all, std::vector<TippingLine>& lines) {
  for (int i = 0; i < 360; ++i) {
    const Vector2d outward(std::cos(radians(i)), std::sin(radians(i)));
    const Support reached = support(all, outward);
    if (reached.round) lines.push_back({outward, reached.offset});
  }
}

/// The ends of a hull that is no more than a stretch of a line.
void add_ends(const std::vector<Disk>& all, std::vector<TippingLine>& lines) {
  const std::size_t sides = lines.size();
  for (std::size_t i = 0; i < sides; ++i) {
    const Vector2d end(-lines[i].outward.y(), lines[i].outward.x());
    lines.push_back({end, support(all, end).offset});
  }
}

}  // namespace

std::vector<TippingLine> tipping_lines(const std::vector<Disk>& disks) {
  std::vector<Disk> all = corners_of_points(disks);
  const bool flat = all.size() == 2;
  for (const Disk& disk : disks)
    if (disk.radius > 0) all.push_back(disk);
  std::vector<TippingLine> lines;
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) add_tangents(all, all[i], all[j], lines);
  if (flat && all.size() == 2) add_ends(all, lines);
  add_rounds(all, lines);
  return lines;
}

double least_inward(const std::vector<TippingLine>& lines, const Vector2d& point) {
  double least = std::numeric_limits<double>::infinity();
  for (const TippingLine& line : lines) least = std::min(least, line.inward(point));
  return least;
}

}  // namespace cellproof
