// SPDX-License-Identifier: GPL-3.0-or-later
// Polygons in space, cut into triangles.
#pragma once

#include <array>
#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// Cutting takes the square of a polygon's corners.
constexpr std::size_t most_polygon_corners = 10'000;

struct PolygonCut {
  std::vector<std::array<std::size_t, 3>> triangles;  ///< numbers of corners, turning as the polygon does
  double fold = 0;  ///< between the two planes along the polygon that hold all its corners: 0 if it is plane
};

/// Concave polygons, ones with corners in the middle of a side, and ones that reach their holes by a bridge there and
/// back are cut within their outline, by clipping ears (G. H. Meisters, 1975). `fold` bounds how far any other way of
/// cutting lies from this one. Three corners or more; one that crosses itself gets some triangles or other.
PolygonCut cut_polygon(const std::vector<Vector3d>& corners);

}  // namespace cellproof
