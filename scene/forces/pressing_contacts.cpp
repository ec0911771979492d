// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/pressing_contacts.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "scene/forces/convex_pieces.hpp"
#include "scene/forces/near_surface.hpp"
#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

namespace {

constexpr double opposed_cos = 0.9781476;   // 12 degrees
constexpr double flat_on_flat = 0.9998477;  // 1 degree
constexpr double level_sin = 0.0174524;     // 1 degree
constexpr double further_off_mm = 1e-4;     // less is rounding in models

using Face = NearSurface::Face;

/// A triangle laid into its own plane, to hold others against.
struct Ground {
  Eigen::Matrix3d axes;
  Vector3d origin;
  Outline outline;
  Vector3d seen(const Vector3d& point) const { return axes * (point - origin); }
};

Ground ground_of(const NearSurface& surface, const Face& face, const Vector3d& up) {
  Ground ground{axes_along(up), surface.corners()[face.corner[0]].at, {}};
  for (const std::uint32_t corner : face.corner)
    ground.outline.push_back(ground.seen(surface.corners()[corner].at).head<2>());
  if (area_of(ground.outline) < 0) std::swap(ground.outline[1], ground.outline[2]);
  return ground;
}

/// What of a straight piece lies over the ground, as shares of it; nothing where none does.
std::optional<std::array<double, 2>> over(const Ground& ground, const Vector2d& from, const Vector2d& to) {
  double first = 0, last = 1;
  for (std::size_t i = 0; i < 3; ++i) {
    const Vector2d &a = ground.outline[i], way = (ground.outline[(i + 1) % 3] - a).normalized();
    const Vector2d inward(-way.y(), way.x());
    const double at = inward.dot(from - a) + 1e-9, rate = inward.dot(to - from);
    if (rate > 0)
      first = std::max(first, -at / rate);
    else if (rate < 0)
      last = std::min(last, -at / rate);
    else if (at < 0)
      return std::nullopt;
  }
  if (first > last) return std::nullopt;
  return std::array<double, 2>{first, last};
}

class Finder {
 public:
  Finder(const NearSurface& first, const NearSurface& second, double depth_mm)
      : first_(first), second_(second), depth_mm_(depth_mm) {}

  PressingContacts run() {
    std::vector<const Face*> others;
    double longest = 0;
    for (const Face& face : second_.faces())
      if (face.near) {
        others.push_back(&face);
        longest = std::max(longest, face.high.x() - face.low.x());
      }
    std::ranges::stable_sort(others, {}, [](const Face* face) { return face->low.x(); });
    for (const Face& mine : first_.faces()) {
      if (!mine.near) continue;
      auto other = std::ranges::lower_bound(others, mine.low.x() - longest - depth_mm_, {},
                                            [](const Face* face) { return face->low.x(); });
      for (; other != others.end() && (*other)->low.x() <= mine.high.x() + depth_mm_; ++other)
        if (within_reach(mine, **other)) look_at(mine, **other);
    }
    return std::move(found_);
  }

 private:
  bool within_reach(const Face& a, const Face& b) const {
    return ((a.low.array() - depth_mm_) <= b.high.array()).all() &&
           ((b.low.array() - depth_mm_) <= a.high.array()).all();
  }

  void look_at(const Face& mine, const Face& other) {
    Vector3d up = other.normal, down = -mine.normal;  // both into the first
    if (!second_.closed() && up.dot(down) < 0) up = -up;
    if (!first_.closed() && up.dot(down) < 0) down = -down;
    look_at_faces(mine, other, up, down);
    look_at_rims(first_, mine, ground_of(second_, other, up), up, 1);
    look_at_rims(second_, other, ground_of(first_, mine, down), down, -1);
  }

  void look_at_faces(const Face& mine, const Face& other, const Vector3d& up, const Vector3d& down) {
    const double opposed = up.dot(down);
    if (opposed < opposed_cos) return;
    // An open mesh's faces look both ways: theirs are taken as they are drawn.
    if (opposed < flat_on_flat && !(first_.faces_best(mine, first_.closed() ? Vector3d(-up) : mine.normal) &&
                                    second_.faces_best(other, second_.closed() ? down : other.normal)))
      return;
    const bool on_round = second_.is_facet(other) && !first_.is_facet(mine);
    const Vector3d normal = on_round ? down : up;
    const Ground ground = on_round ? ground_of(first_, mine, normal) : ground_of(second_, other, normal);
    const NearSurface& above = on_round ? second_ : first_;
    const Face& laid = on_round ? other : mine;
    Outline seen;
    std::array<Vector3d, 3> corner;
    for (std::size_t i = 0; i < 3; ++i) {
      corner[i] = ground.seen(above.corners()[laid.corner[i]].at);
      seen.push_back(corner[i].head<2>());
    }
    if (area_of(seen) < 0) std::swap(seen[1], seen[2]);
    const Outline common = common_of(seen, ground.outline);
    const double area = area_of(common);
    if (area <= least_area_mm2) return;
    const Vector3d slope = (corner[1] - corner[0]).cross(corner[2] - corner[0]);
    std::vector<PressingPoint> points;
    for (const Vector2d& point : common) {
      const double height = corner[0].z() - slope.head<2>().dot(point - corner[0].head<2>()) / slope.z();
      if (std::abs(height) > depth_mm_) return;
      points.push_back({ground.origin + ground.axes.transpose() * Vector3d(point.x(), point.y(), height), normal});
    }
    found_.points.insert(found_.points.end(), points.begin(), points.end());
    found_.area_mm2 += area;
    // Two facets side by side may be as near: then the strip is twice as wide, and its middle a facet from its edge.
    constexpr double rounding = 1.01;
    found_.resolution_mm =
        std::max(found_.resolution_mm, rounding * std::max(first_.facet_mm(mine), second_.facet_mm(other)));
  }

  /// Corners and edges of a face over the other's; `side` is 1 if they lie above it along `up`.
  void look_at_rims(const NearSurface& surface, const Face& face, const Ground& ground, const Vector3d& up,
                    double side) {
    const auto height = [&](std::uint32_t corner) { return ground.seen(surface.corners()[corner].at).z(); };
    for (std::size_t i = 0; i < 3; ++i) {
      const std::uint32_t a = face.corner[i], b = face.corner[(i + 1) % 3];
      const auto none_nearer = [&](std::uint32_t corner) {
        return std::ranges::all_of(surface.corners()[corner].neighbours, [&](std::uint32_t other) {
          return side * (height(other) - height(corner)) >= -further_off_mm;
        });
      };
      if (std::abs(height(a)) <= depth_mm_ && none_nearer(a)) add_over(surface, a, a, ground, up);
      const int beside = surface.opposite(face, i);
      if (beside < 0) continue;
      const Vector3d from = surface.corners()[a].at, way = (surface.corners()[b].at - from).normalized();
      const auto goes_off = [&](std::uint32_t corner) {
        const Vector3d off = surface.corners()[corner].at - from;
        return side * up.dot(off - way.dot(off) * way) >= -further_off_mm;
      };
      const bool level = std::abs(way.dot(up)) <= level_sin;
      if (!level && !none_nearer(side * height(a) < side * height(b) ? a : b)) continue;
      if (!goes_off(face.corner[(i + 2) % 3]) || !goes_off(static_cast<std::uint32_t>(beside))) continue;
      add_over(surface, a, b, ground, up);
    }
  }

  /// The ends of what of an edge (or corner) lies over the ground, if it is as near all along.
  void add_over(const NearSurface& surface, std::uint32_t a, std::uint32_t b, const Ground& ground,
                const Vector3d& up) {
    const Vector3d from = ground.seen(surface.corners()[a].at), to = ground.seen(surface.corners()[b].at);
    const auto shares = over(ground, from.head<2>(), to.head<2>());
    if (!shares) return;
    std::array<Vector3d, 2> ends;
    for (std::size_t k = 0; k < 2; ++k) {
      ends[k] = from + (*shares)[k] * (to - from);
      if (std::abs(ends[k].z()) > depth_mm_) return;
    }
    for (const Vector3d& end : ends) found_.points.push_back({ground.origin + ground.axes.transpose() * end, up});
  }

  const NearSurface &first_, &second_;
  double depth_mm_;
  PressingContacts found_;
};

using Key = std::array<long, 4>;  // normal in ten-thousandths, height along it in tenths of a mm

/// Of each normal and height the corners of the hull.
std::vector<PressingPoint> told_once(const std::vector<PressingPoint>& points) {
  std::map<Key, std::vector<PressingPoint>> alike;
  for (const PressingPoint& point : points)
    alike[{std::lround(1e4 * point.normal.x()), std::lround(1e4 * point.normal.y()),
           std::lround(1e4 * point.normal.z()), std::lround(10 * point.normal.dot(point.at))}]
        .push_back(point);
  std::vector<PressingPoint> kept;
  for (const auto& [key, group] : alike) {
    const Vector3d normal = group.front().normal;
    const Eigen::Matrix3d axes = axes_along(normal);
    std::vector<Vector2d> seen;
    for (const PressingPoint& point : group) seen.emplace_back((axes * point.at).head<2>());
    const double height = normal.dot(group.front().at);
    for (const Vector2d& corner : convex_outline(seen))
      kept.push_back({axes.transpose() * Vector3d(corner.x(), corner.y(), height), normal});
  }
  return kept;
}

Box box_of_placed(const PlacedMesh& placed, double grown_by) {
  Box box;
  for (const Vector3d& vertex : placed.mesh->vertices) box.add(placed.pose * vertex);
  box.low.array() -= grown_by;
  box.high.array() += grown_by;
  return box;
}

}  // namespace

PressingContacts pressing_contacts(const PlacedMesh& first, const PlacedMesh& second, double depth_mm) {
  const NearSurface mine(first, box_of_placed(second, depth_mm));
  if (mine.faces().empty()) return {};
  const NearSurface other(second, box_of_placed(first, depth_mm));
  if (other.faces().empty()) return {};
  PressingContacts found = Finder(mine, other, depth_mm).run();
  found.points = told_once(found.points);
  return found;
}

}  // namespace cellproof
