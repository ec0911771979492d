// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/seal_cover.hpp"

#include <algorithm>
#include <optional>
#include <set>

#include "scene/cell/zone_shape.hpp"

namespace cellproof {

namespace {

constexpr double seam_mm = 1e-3;

/// A triangle that faces the zone, with its height over the seal plane as a function of x and y.
struct Facing {
  std::array<Vector2d, 3> corner;  ///< clockwise as seen along +z
  Vector2d slope;
  double height_at_origin = 0;
  double height(const Vector2d& point) const { return height_at_origin + slope.dot(point); }
};

/// Where the facing surface ends: an edge, and the unit vector away from the triangle.
struct Rim {
  Vector2d from, to, away;
};

struct FacingSurface {
  std::vector<Facing> triangles;
  std::vector<Rim> rims;
};

struct FlatBox {
  Vector2d low = Vector2d::Constant(std::numeric_limits<double>::infinity()), high = -low;
};

FlatBox box_around(const std::vector<Outline>& borders) {
  FlatBox box;
  for (const Vector2d& corner : borders.front()) {
    box.low = box.low.cwiseMin(corner);
    box.high = box.high.cwiseMax(corner);
  }
  return box;
}

std::optional<Facing> facing(const Vector3d& a, const Vector3d& b, const Vector3d& c, double behind_mm) {
  const Vector3d normal = (b - a).cross(c - a);
  if (!(normal.z() < -1e-6 * normal.norm())) return std::nullopt;
  if (std::max({a.z(), b.z(), c.z()}) < -behind_mm) return std::nullopt;
  Facing result;
  result.corner = {a.head<2>(), b.head<2>(), c.head<2>()};
  result.slope = -normal.head<2>() / normal.z();
  result.height_at_origin = a.z() - result.slope.dot(a.head<2>());
  return result;
}

bool near_box(const Facing& triangle, const FlatBox& box) {
  for (int axis = 0; axis < 2; ++axis) {
    const double a = triangle.corner[0][axis], b = triangle.corner[1][axis], c = triangle.corner[2][axis];
    if (std::max({a, b, c}) < box.low[axis] || std::min({a, b, c}) > box.high[axis]) return false;
  }
  return true;
}

void add_surface(const MeshInZone& part, const FlatBox& box, double tolerance_mm, FacingSurface& surface) {
  std::vector<Vector3d> points;
  points.reserve(part.mesh->vertices.size());
  for (const Vector3d& vertex : part.mesh->vertices) points.push_back(part.in_zone * vertex);
  using Edge = std::pair<std::uint32_t, std::uint32_t>;
  std::set<Edge> edges;
  std::vector<std::pair<Edge, std::size_t>> ordered;
  for (const Triangle& triangle : part.mesh->triangles) {
    const auto found = facing(points[triangle[0]], points[triangle[1]], points[triangle[2]], tolerance_mm);
    if (!found || !near_box(*found, box)) continue;
    surface.triangles.push_back(*found);
    for (std::size_t i = 0; i < 3; ++i) {
      const Edge edge{triangle[i], triangle[(i + 1) % 3]};
      edges.insert(edge);
      ordered.push_back({edge, i});
    }
  }
  for (const auto& [edge, side] : ordered) {
    if (edges.count({edge.second, edge.first})) continue;
    const Vector2d from = points[edge.first].head<2>(), to = points[edge.second].head<2>();
    const Vector2d way = (to - from).normalized();
    surface.rims.push_back({from, to, Vector2d(-way.y(), way.x())});  // clockwise: outside is on the left
  }
}

/// A stretch of a border piece, as shares of it.
struct BorderSpan {
  double from = 0, to = 1;
};

/// Keeps what satisfies at + t rate >= 0.
void keep(BorderSpan& span, double at, double rate) {
  if (rate > 0)
    span.from = std::max(span.from, -at / rate);
  else if (rate < 0)
    span.to = std::min(span.to, -at / rate);
  else if (at < 0)
    span.to = span.from - 1;
}

BorderSpan covered_by(const Facing& triangle, const Vector2d& from, const Vector2d& to, double tolerance_mm) {
  BorderSpan span;
  const Vector2d way = to - from;
  for (std::size_t i = 0; i < 3; ++i) {
    const Vector2d &a = triangle.corner[i], side = triangle.corner[(i + 1) % 3] - a;
    const Vector2d inward = Vector2d(side.y(), -side.x()).normalized();
    keep(span, inward.dot(from - a) + 1e-9, inward.dot(way));
  }
  const double height = triangle.height(from), climb = triangle.slope.dot(way);
  keep(span, tolerance_mm - height, -climb);
  keep(span, tolerance_mm + height, climb);
  return span;
}

/// A bare stretch of a closed border, as lengths from its first corner; `from` is below 0 where it runs across it.
struct BareRun {
  double from = 0, to = 0;
};

/// A gap that begins where the last one ended is one with it.
void note_gap(BareRun gap, std::vector<BareRun>& runs) {
  if (gap.to - gap.from < seam_mm) return;
  if (!runs.empty() && gap.from <= runs.back().to)
    runs.back().to = gap.to;
  else
    runs.push_back(gap);
}

/// The gaps of one straight piece that begins `start` along the border.
void note_gaps(const Vector2d& from, const Vector2d& to, double start, const FacingSurface& surface,
               double tolerance_mm, std::vector<BareRun>& runs) {
  const double length = (to - from).norm();
  std::vector<BorderSpan> spans;
  for (const Facing& triangle : surface.triangles)
    if (const BorderSpan span = covered_by(triangle, from, to, tolerance_mm); span.from < span.to)
      spans.push_back(span);
  std::sort(spans.begin(), spans.end(), [](const BorderSpan& a, const BorderSpan& b) { return a.from < b.from; });
  double reached = 0;
  for (const BorderSpan& span : spans) {
    if (span.from > reached) note_gap({start + reached * length, start + span.from * length}, runs);
    reached = std::max(reached, span.to);
  }
  if (reached < 1) note_gap({start + reached * length, start + length}, runs);
}

Vector2d place_on(const Outline& border, double along) {
  for (std::size_t i = 0; i < border.size(); ++i) {
    const Vector2d &from = border[i], way = border[(i + 1) % border.size()] - from;
    const double length = way.norm();
    if (along <= length) return from + way * (length > 0 ? along / length : 0);
    along -= length;
  }
  return border.front();
}

void follow_border(const Outline& border, const FacingSurface& surface, double tolerance_mm, SealCover& cover) {
  std::vector<BareRun> runs;
  double length = 0;
  for (std::size_t i = 0; i < border.size(); ++i) {
    const Vector2d &from = border[i], &to = border[(i + 1) % border.size()];
    note_gaps(from, to, length, surface, tolerance_mm, runs);
    length += (to - from).norm();
  }
  cover.seal_mm += length;
  if (runs.size() > 1 && runs.front().from == 0 && runs.back().to == length) {
    runs.front().from = runs.back().from - length;
    runs.pop_back();
  }
  for (const BareRun& run : runs) {
    const double bare = run.to - run.from, middle = (run.from + run.to) / 2;
    cover.bare_mm += bare;
    if (bare <= cover.widest_mm) continue;
    cover.widest_mm = bare;
    cover.widest_at = place_on(border, middle < 0 ? middle + length : middle);
  }
}

/// The height of the surface next behind the seal plane over a point, if there is any.
std::optional<double> height_over(const FacingSurface& surface, const Vector2d& point, double tolerance_mm) {
  std::optional<double> least;
  for (const Facing& triangle : surface.triangles) {
    bool inside = true;
    for (std::size_t i = 0; i < 3 && inside; ++i) {
      const Vector2d &a = triangle.corner[i], side = triangle.corner[(i + 1) % 3] - a;
      inside = side.y() * (point - a).x() - side.x() * (point - a).y() >= 0;
    }
    const double height = triangle.height(point);
    if (inside && height >= -tolerance_mm && (!least || height < *least)) least = height;
  }
  return least;
}

bool within_borders(const Suction& zone, const Vector2d& point) {
  if (zone.circle ? point.norm() >= *zone.circle : !inside_polygon(zone.outline, point)) return false;
  return std::none_of(zone.holes.begin(), zone.holes.end(),
                      [&](const Outline& hole) { return inside_polygon(hole, point); });
}

void look_beside_rims(const Suction& zone, const FacingSurface& surface, double tolerance_mm, SealCover& cover) {
  for (const Rim& rim : surface.rims)
    for (const double share : {0.01, 0.25, 0.5, 0.75, 0.99}) {
      const Vector2d point = rim.from + share * (rim.to - rim.from) + seam_mm * rim.away;
      if (!within_borders(zone, point)) continue;
      const auto height = height_over(surface, point, tolerance_mm);
      if (!height) {
        cover.open_through = true;
        cover.open_at = point;
      } else if (*height > tolerance_mm && *height > cover.recess_mm) {
        cover.recess_mm = *height;
        cover.recess_at = point;
      }
    }
}

}  // namespace

SealCover seal_cover(const Suction& zone, std::span<const MeshInZone> part, double tolerance_mm) {
  constexpr int circle_corners = 180;
  const auto borders = zone_borders(zone, circle_corners);
  const FlatBox box = box_around(borders);
  FacingSurface surface;
  for (const MeshInZone& mesh : part) add_surface(mesh, box, tolerance_mm, surface);
  SealCover cover;
  for (const Outline& border : borders) follow_border(border, surface, tolerance_mm, cover);
  look_beside_rims(zone, surface, tolerance_mm, cover);
  return cover;
}

}  // namespace cellproof
