// SPDX-License-Identifier: GPL-3.0-or-later
// Nearest points of two triangles.
#pragma once

#include <array>

#include "kinematics/types.hpp"

namespace cellproof {

using Corners = std::array<Vector3d, 3>;

struct TriangleGap {
  double squared = std::numeric_limits<double>::infinity();  ///< of the distance; 0 where they cross
  Vector3d point_a = Vector3d::Constant(std::numeric_limits<double>::quiet_NaN());
  Vector3d point_b = point_a;
};

/// The gap of two triangles if its square is less than `squared_limit`; otherwise the squared gap is infinite.
/// The least over edge against edge, corner against face, and edge through face: right for parallel edges and slivers
/// too, where tests by a separating slab alone are not.
TriangleGap triangle_gap(const Corners& a, const Corners& b, double squared_limit);

}  // namespace cellproof
