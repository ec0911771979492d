// SPDX-License-Identifier: GPL-3.0-or-later
// Corners of a mesh's triangles.
#pragma once

#include "scene/mesh/mesh.hpp"
#include "scene/solids/search_tree.hpp"
#include "scene/solids/triangle_distance.hpp"

namespace cellproof {

inline Corners corners_of(const Mesh& mesh, std::uint32_t number) {
  const Triangle& triangle = mesh.triangles.at(number);
  return {mesh.vertices[triangle[0]], mesh.vertices[triangle[1]], mesh.vertices[triangle[2]]};
}

inline Corners corners_of(const Mesh& mesh, std::uint32_t number, const Pose& pose) {
  const Corners corners = corners_of(mesh, number);
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
