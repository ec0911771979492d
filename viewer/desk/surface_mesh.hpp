// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh made ready to be drawn: round faces smooth, creases sharp, and the creases as lines.
#pragma once

#include <array>
#include <vector>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// Where two faces meet at more than this, there is a crease.
inline constexpr double crease_angle = pi / 6;

/// Three corners a triangle, in the mesh's order.
struct DrawnSurface {
  std::vector<Vector3d> corners, normals;
};

/// The normal of a corner is the mean over the triangles about its vertex that are no crease away, by their areas.
DrawnSurface drawn_surface(const Mesh& mesh);

/// Edges at creases, and edges without exactly two triangles.
std::vector<std::array<Vector3d, 2>> creases(const Mesh& mesh);

}  // namespace cellproof
