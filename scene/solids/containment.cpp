// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/containment.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <optional>

#include "scene/solids/box_lanes.hpp"
#include "scene/solids/placed_triangles.hpp"

namespace cellproof {

namespace {

/// A ray from a point out of the box.
struct LookOut {
  Vector3d from, way;
};

/// The shortest way out, askew by what no drawing has: nearly along an axis, as most boxes of a tree lie, it meets few.
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

}  // namespace

/// In a closed mesh as much leaves as enters; asks the winding number where a ray can't tell.
bool lies_inside(const Solid& solid, const Vector3d& point) {
  const SearchTree& tree = solid.tree();
  const LookOut ray = look_out(solid.box(), point);
  const lanes::OneBox one = box_along(ray);
  int leaving = 0;
  std::vector<std::uint32_t> stack{tree.held(SearchTree::root)};
  while (!stack.empty()) {
    const std::uint32_t held = stack.back();
    stack.pop_back();
    if ((held & SearchTree::leaf_bit) != 0) {
      const SearchTree::Leaf& leaf = tree.leaves[held & ~SearchTree::leaf_bit];
      for (std::uint32_t lane = 0; lane < leaf.count; ++lane) {
        const auto crossed = crossing(ray, corners_of(leaf, lane));
        if (!crossed) return std::abs(winding_number(solid.mesh(), point)) >= 0.5;
        leaving += *crossed;
      }
      continue;
    }
    const SearchTree::Node& node = tree.nodes[held];
    lanes::FloatRow gaps;
    constexpr float above_0 = std::numeric_limits<float>::min();
    unsigned met = lanes::squared_gaps(node.boxes, one, one.axes[1], above_0, gaps) & used_lanes(node);
    for (; met != 0; met &= met - 1) stack.push_back(node.held[std::countr_zero(met)]);
  }
  return leaving != 0;
}

bool holds_shell_of(const Solid& outer, const Solid& inner, const Pose& inner_in_outer) {
  return outer.closed().closed &&
         std::any_of(inner.shell_points().begin(), inner.shell_points().end(), [&](const Vector3d& point) {
           const Vector3d placed = inner_in_outer * point;
           return outer.box().contains(placed) && lies_inside(outer, placed);
         });
}

bool contains_part_of(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world) {
  const Pose b_in_a = a_in_world.inverse() * b_in_world;
  return holds_shell_of(a, b, b_in_a) || holds_shell_of(b, a, b_in_a.inverse());
}

}  // namespace cellproof
