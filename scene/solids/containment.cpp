// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/containment.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <optional>
#include <vector>

#include "scene/solids/box_lanes.hpp"
#include "scene/solids/open_mesh.hpp"
#include "scene/solids/placed_triangles.hpp"

namespace cellproof {

namespace {

/// A ray from a point out of the box.
struct LookOut {
  Vector3d from, way;
};

/// The shortest way out of a box, askew by what no drawing has: nearly along an axis, as most boxes of a tree lie, it
/// meets few.
LookOut look_out(const Box& box, const Vector3d& point) {
  Eigen::Index low_axis = 0, high_axis = 0;
  const double low = (point - box.low).minCoeff(&low_axis), high = (box.high - point).minCoeff(&high_axis);
  const Eigen::Index axis = low < high ? low_axis : high_axis;
  Vector3d way;
  way[axis] = 1;
  way[(axis + 1) % 3] = 0.0123417;
  way[(axis + 2) % 3] = 0.0171933;
  return {point, (low < high ? -1 : 1) * (1 + std::max(0.0, std::min(low, high))) * way};
}

/// The ray as a box without thickness.
lanes::OneBox box_along(const LookOut& ray) {
  const Vector3d middle = ray.from + ray.way / 2, along = ray.way.normalized(), across = along.unitOrthogonal(),
                 third = along.cross(across);
  lanes::OneBox box{};
  for (std::size_t k = 0; k < 3; ++k) {
    const auto i = static_cast<Eigen::Index>(k);
    box.centre[k] = middle[i];
    box.axes[0][k] = along[i];
    box.axes[1][k] = across[i];
    box.axes[2][k] = third[i];
  }
  box.half[0] = ray.way.norm() / 2;
  return box;
}

/// +1 where the ray leaves through the triangle, -1 where it enters, 0 where it passes by; none if it runs so close to
/// an edge that rounding decides (T. Möller, B. Trumbore, 1997).
std::optional<int> crossing(const LookOut& ray, const Corners& corners) {
  constexpr double close = 1e-9;
  const Vector3d ab = corners[1] - corners[0], ac = corners[2] - corners[0], from = ray.from - corners[0];
  const Vector3d normal = ab.cross(ac);
  const double fall = normal.dot(ray.way);
  if (std::abs(fall) <= close * normal.norm() * ray.way.norm()) return std::nullopt;
  const double along = -normal.dot(from) / fall;
  const Vector3d turned = from.cross(ray.way);
  const double u = -turned.dot(ac) / fall, v = turned.dot(ab) / fall, w = 1 - u - v;
  const double least = std::min({u, v, w, along, 1 - along});
  if (std::abs(least) < close) return std::nullopt;
  return least < 0 ? 0 : (fall > 0 ? 1 : -1);
}

/// Out of the solid's box, in the frame of its tree.
LookOut ray_out(const Solid& solid, const Vector3d& point) {
  const Vector3d& origin = solid.tree().origin;
  return look_out({solid.box().low - origin, solid.box().high - origin}, point - origin);
}

/// Calls take(number of the triangle, +1 or -1) for each that the ray crosses; false if rounding decides about one.
template <class Take>
bool each_crossing(const Solid& solid, const LookOut& ray, const Take& take) {
  const SearchTree& tree = solid.tree();
  const lanes::OneBox one = box_along(ray);
  std::vector<std::uint32_t> stack{tree.held(SearchTree::root)};
  while (!stack.empty()) {
    const std::uint32_t held = stack.back();
    stack.pop_back();
    if ((held & SearchTree::leaf_bit) != 0) {
      const SearchTree::Leaf& leaf = tree.leaves[held & ~SearchTree::leaf_bit];
      for (std::uint32_t lane = 0; lane < leaf.count; ++lane) {
        const auto crossed = crossing(ray, corners_of(leaf, lane));
        if (!crossed) return false;
        if (*crossed != 0) take(leaf.number[lane], *crossed);
      }
      continue;
    }
    const SearchTree::Node& node = tree.nodes[held];
    lanes::FloatRow gaps;
    constexpr float above_0 = std::numeric_limits<float>::min();
    unsigned met = lanes::squared_gaps(node.boxes, one, one.axes[1], above_0, gaps) & used_lanes(node);
    for (; met != 0; met &= met - 1) stack.push_back(node.held[std::countr_zero(met)]);
  }
  return true;
}

/// How often a triangle winds about a point: its solid angle over 4 pi (A. van Oosterom, J. Strackee, 1983).
double winding_of(const Corners& corners, const Vector3d& point) {
  const Vector3d a = corners[0] - point, b = corners[1] - point, c = corners[2] - point;
  const double la = a.norm(), lb = b.norm(), lc = c.norm();
  return std::atan2(a.dot(b.cross(c)), la * lb * lc + a.dot(b) * lc + b.dot(c) * la + c.dot(a) * lb) / (2 * pi);
}

/// How often a shell winds about a point, and how often it does with its caps: a whole number.
struct ShellWinding {
  double as_it_is = 0, capped = 0;
};

/// Triangles of caps, in the frame of the tree.
Corners in_tree(const Corners& corners, const Vector3d& origin) {
  return {corners[0] - origin, corners[1] - origin, corners[2] - origin};
}

/// With its caps a shell is closed, and a ray counts how often it winds; what the caps add is summed up and taken off.
/// False where rounding decides about a crossing.
bool count_crossings(const Solid& solid, const Vector3d& point, std::vector<ShellWinding>& windings) {
  const OpenMesh& open = *solid.open();
  const LookOut ray = ray_out(solid, point);
  if (!each_crossing(solid, ray, [&](std::uint32_t triangle, int way) {
        windings[open.shell_of[triangle]].capped += way * open.times[triangle];
      }))
    return false;
  for (const HoleCap& cap : open.caps) {
    const auto crossed = crossing(ray, in_tree(cap.corners, solid.tree().origin));
    if (!crossed) return false;
    windings[cap.shell].capped += *crossed * cap.times;
  }
  return true;
}

std::vector<ShellWinding> shell_windings(const Solid& solid, const Vector3d& point) {
  const OpenMesh& open = *solid.open();
  std::vector<ShellWinding> windings(open.shells.size());
  std::vector<double> by_caps(open.shells.size(), 0);
  for (const HoleCap& cap : open.caps) by_caps[cap.shell] += cap.times * winding_of(cap.corners, point);
  if (count_crossings(solid, point, windings)) {
    for (std::size_t s = 0; s < windings.size(); ++s) windings[s].as_it_is = windings[s].capped - by_caps[s];
    return windings;
  }
  windings.assign(open.shells.size(), {});
  const Mesh& mesh = solid.mesh();
  for (std::size_t t = 0; t < mesh.triangles.size(); ++t) {
    const auto& [a, b, c] = mesh.triangles[t];
    windings[open.shell_of[t]].as_it_is +=
        open.times[t] * winding_of({mesh.vertices[a], mesh.vertices[b], mesh.vertices[c]}, point);
  }
  for (std::size_t s = 0; s < windings.size(); ++s)
    windings[s].capped = std::nearbyint(windings[s].as_it_is + by_caps[s]);
  return windings;
}

/// How often all shells wind about a point, or all but the sheets that close about it: cavities take off what they are
/// cut out of; a shell of which nothing is known about what looks outward adds in any case.
double wound(const OpenMesh& open, const std::vector<ShellWinding>& windings, bool with_sheets) {
  double known = 0, unknown = 0;
  for (std::size_t s = 0; s < windings.size(); ++s) {
    if (!with_sheets && is_sheet(open.shells[s]) && windings[s].capped != 0) continue;
    if (open.shells[s].turned)
      unknown += std::abs(windings[s].as_it_is);
    else
      known += windings[s].as_it_is;
  }
  return std::abs(known) + unknown;
}

}  // namespace

/// In a closed mesh as much leaves as enters; asks the winding number where a ray can't tell.
bool lies_inside(const Solid& solid, const Vector3d& point) {
  int leaving = 0;
  const bool told = each_crossing(solid, ray_out(solid, point), [&](std::uint32_t, int way) { leaving += way; });
  return told ? leaving != 0 : std::abs(winding_number(solid.mesh(), point)) >= 0.5;
}

Within where_lies(const Solid& solid, const Vector3d& point) {
  if (!solid.box().contains(point)) return Within::outside;
  if (!solid.open()) return lies_inside(solid, point) ? Within::inside : Within::outside;
  const std::vector<ShellWinding> windings = shell_windings(solid, point);
  const OpenMesh& open = *solid.open();
  if (wound(open, windings, false) > 0.5) return Within::inside;
  return wound(open, windings, true) > 0.5 ? Within::sheet : Within::outside;
}

Within where_shells_lie(const Solid& outer, const Solid& inner, const Pose& inner_in_outer) {
  Within most = Within::outside;
  for (const Vector3d& point : inner.shell_points()) {
    most = std::max(most, where_lies(outer, inner_in_outer * point));
    if (most == Within::inside) break;
  }
  return most;
}

bool holds_shell_of(const Solid& outer, const Solid& inner, const Pose& inner_in_outer) {
  return where_shells_lie(outer, inner, inner_in_outer) == Within::inside;
}

bool contains_part_of(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world) {
  const Pose b_in_a = a_in_world.inverse() * b_in_world;
  return holds_shell_of(a, b, b_in_a) || holds_shell_of(b, a, b_in_a.inverse());
}

}  // namespace cellproof
