// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/surface_distance.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <utility>
#include <vector>

#include "scene/solids/box_lanes.hpp"
#include "scene/solids/placed_triangles.hpp"

namespace cellproof {

namespace {

/// NearTriangle point of a triangle, by the regions of its corners and edges (C. Ericson, Real-Time Collision
/// Detection, 2005, 5.1.5).
Vector3d nearest_of_triangle(const Corners& corners, const Vector3d& p) {
  const auto& [a, b, c] = corners;
  const Vector3d ab = b - a, ac = c - a, ap = p - a, bp = p - b, cp = p - c;
  const double d1 = ab.dot(ap), d2 = ac.dot(ap), d3 = ab.dot(bp), d4 = ac.dot(bp), d5 = ab.dot(cp), d6 = ac.dot(cp);
  if (d1 <= 0 && d2 <= 0) return a;
  if (d3 >= 0 && d4 <= d3) return b;
  if (d6 >= 0 && d5 <= d6) return c;
  const double vc = d1 * d4 - d3 * d2, vb = d5 * d2 - d1 * d6, va = d3 * d6 - d5 * d4;
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return a + d1 / (d1 - d3) * ab;
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return a + d2 / (d2 - d6) * ac;
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) return b + (d4 - d3) / ((d4 - d3) + (d5 - d6)) * (c - b);
  const double all = va + vb + vc;
  return a + vb / all * ab + vc / all * ac;
}

lanes::OneBox box_at(const Vector3d& point) {
  lanes::OneBox box{};
  for (std::size_t k = 0; k < 3; ++k) {
    box.centre[k] = point[static_cast<Eigen::Index>(k)];
    box.axes[k][k] = 1;
  }
  return box;
}

/// The nearest triangle, and how far it is.
struct NearTriangle {
  double squared;
  const SearchTree::Leaf* leaf = nullptr;
  std::uint32_t lane = 0;
};

void look_into(const SearchTree::Leaf& leaf, const Vector3d& point, NearTriangle& near) {
  for (std::uint32_t lane = 0; lane < leaf.count; ++lane) {
    const double squared = (nearest_of_triangle(corners_of(leaf, lane), point) - point).squaredNorm();
    if (squared < near.squared) near = {squared, &leaf, lane};
  }
}

/// Nothing that is as far as the cap; the first that is near enough. The point is in the tree's frame.
NearTriangle nearest_to(const Solid& solid, const Vector3d& point, double near_enough, double cap) {
  const SearchTree& tree = solid.tree();
  const lanes::OneBox one = box_at(point);
  const double direction[3] = {1, 0, 0};
  const double enough = near_enough > 0 ? near_enough * near_enough : 0;
  NearTriangle near{cap * cap};
  std::vector<std::pair<double, std::uint32_t>> stack;
  stack.reserve(64);
  stack.emplace_back(-1, tree.held(SearchTree::root));
  while (!stack.empty() && near.squared > enough) {
    const auto [squared, held] = stack.back();
    stack.pop_back();
    if (squared >= near.squared) continue;
    if ((held & SearchTree::leaf_bit) != 0) {
      look_into(tree.leaves[held & ~SearchTree::leaf_bit], point, near);
      continue;
    }
    const SearchTree::Node& node = tree.nodes[held];
    lanes::FloatRow gaps;
    unsigned nearer =
        lanes::squared_gaps(node.boxes, one, direction, lanes::float_above(near.squared), gaps) & used_lanes(node);
    const auto base = static_cast<std::ptrdiff_t>(stack.size());
    for (; nearer != 0; nearer &= nearer - 1) {
      const int lane = std::countr_zero(nearer);
      stack.emplace_back(gaps[lane], node.held[lane]);
    }
    std::sort(stack.begin() + base, stack.end(), std::greater<>());
  }
  return near;
}

}  // namespace

double distance_to_surface(const Solid& solid, const Vector3d& point, double near_enough, double cap) {
  return std::sqrt(nearest_to(solid, point - solid.tree().origin, near_enough, cap).squared);
}

SurfacePlace nearest_place(const Solid& solid, const Vector3d& point) {
  const Vector3d& origin = solid.tree().origin;
  const NearTriangle near = nearest_to(solid, point - origin, 0, std::numeric_limits<double>::infinity());
  Corners corners = corners_of(*near.leaf, near.lane);
  for (Vector3d& corner : corners) corner += origin;
  return {std::sqrt(near.squared), corners};
}

double distance_to_triangle(const Corners& triangle, const Vector3d& point) {
  return (nearest_of_triangle(triangle, point) - point).norm();
}

}  // namespace cellproof
