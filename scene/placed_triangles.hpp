// SPDX-License-Identifier: GPL-3.0-or-later
// Corners of a mesh's triangles.
#pragma once

#include "scene/mesh.hpp"
#include "scene/triangle_distance.hpp"

namespace cellproof {

inline Corners corners_of(const Mesh& mesh, std::uint32_t number) {
  const Triangle& triangle = mesh.triangles.at(number);
  return {mesh.vertices[triangle[0]], mesh.vertices[triangle[1]], mesh.vertices[triangle[2]]};
}

inline Corners corners_of(const Mesh& mesh, std::uint32_t number, const Pose& pose) {
  const Corners corners = corners_of(mesh, number);
  return {pose * corners[0], pose * corners[1], pose * corners[2]};
}

}  // namespace cellproof
