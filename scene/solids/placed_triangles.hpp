// SPDX-License-Identifier: GPL-3.0-or-later
// Corners of a solid's triangles, in the frame of its search tree.
#pragma once

#include "scene/solids/distance.hpp"
#include "scene/solids/search_tree.hpp"
#include "scene/solids/triangle_distance.hpp"

namespace cellproof {

/// Where the tree's frame is, if the solid is there.
inline Pose tree_pose(const Solid& solid, const Pose& solid_pose) {
  return solid_pose * Eigen::Translation3d(solid.tree().origin);
}

/// The middle of the solid's box.
inline Vector3d middle_of(const Solid& solid) {
  return (solid.box().low + solid.box().high) / 2 - solid.tree().origin;
}

/// From the middle of a's box to that of b's, in a's tree.
inline Vector3d between_middles(const Solid& a, const Solid& b, const Pose& b_in_a) {
  return b_in_a * middle_of(b) - middle_of(a);
}

inline Corners corners_of(const Solid& solid, std::uint32_t number) {
  const Triangle& triangle = solid.mesh().triangles.at(number);
  const std::vector<Vector3d>& vertices = solid.mesh().vertices;
  const Vector3d& origin = solid.tree().origin;
  return {vertices[triangle[0]] - origin, vertices[triangle[1]] - origin, vertices[triangle[2]] - origin};
}

inline Corners corners_of(const Solid& solid, std::uint32_t number, const Pose& pose) {
  const Corners corners = corners_of(solid, number);
  return {pose * corners[0], pose * corners[1], pose * corners[2]};
}

/// A leaf may hold a part of a large triangle only.
inline Corners corners_of(const SearchTree::Leaf& leaf, std::uint32_t lane) {
  const lanes::OneTriangle triangle = triangle_of(leaf, lane);
  Corners corners;
  for (std::size_t i = 0; i < 3; ++i) corners[i] = Eigen::Map<const Vector3d>(triangle.corner[i]);
  return corners;
}

}  // namespace cellproof
