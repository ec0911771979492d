// SPDX-License-Identifier: GPL-3.0-or-later
// The new surface that a cut leaves on a body: how deep it lies, and how much stands behind it.
#pragma once

#include <optional>
#include <vector>

#include "scene/cutting/convex_solid.hpp"
#include "scene/solids/distance.hpp"

namespace cellproof {

/// A place in the body's frame (mm) and a length there.
struct Measured {
  double mm = std::numeric_limits<double>::quiet_NaN();
  Vector3d at = Vector3d::Constant(std::numeric_limits<double>::quiet_NaN());
};

/// Triangles of `rest` that lie in a face of a cutter, look into it and were no surface of the body before.
std::vector<std::uint32_t> cut_triangles(const Solid& before, const Mesh& rest,
                                         const std::vector<ConvexSolid>& cutters);

/// The point of the new surface that lies furthest from the old one, within 0.01 mm. NaN without a new surface.
Measured deepest_cut(const Solid& before, const Mesh& rest, const std::vector<std::uint32_t>& cut);

/// The least wall behind the new surface: straight in from points at most `spacing_mm` apart to the next surface, where
/// that one faces away to within 30 degrees (steeper ones meet at an edge and make no wall). Nothing if there is none.
std::optional<Measured> least_wall(const Mesh& rest, const std::vector<std::uint32_t>& cut, double spacing_mm);

/// A spacing that needs about `points` points on the new surface, and at least 0.1 mm.
double wall_spacing(const Mesh& rest, const std::vector<std::uint32_t>& cut, double points);

}  // namespace cellproof
