// SPDX-License-Identifier: GPL-3.0-or-later
// How far points are from a solid's surface.
#pragma once

#include <limits>

#include "scene/solids/distance.hpp"
#include "scene/solids/triangle_distance.hpp"

namespace cellproof {

/// Distance (mm) of a point in the solid's frame from its surface. Any that is `near_enough` is as good as the least,
/// and beyond the cap it is the cap.
double distance_to_surface(const Solid& solid, const Vector3d& point, double near_enough = 0,
                           double cap = std::numeric_limits<double>::infinity());

/// The nearest triangle of a surface, and how far it is (mm).
struct SurfacePlace {
  double mm = std::numeric_limits<double>::quiet_NaN();
  Corners triangle;
};
SurfacePlace nearest_place(const Solid& solid, const Vector3d& point);

double distance_to_triangle(const Corners& triangle, const Vector3d& point);

}  // namespace cellproof
