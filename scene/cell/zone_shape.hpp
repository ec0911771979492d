// SPDX-License-Identifier: GPL-3.0-or-later
// The flat shape of a suction zone: its area and its seal.
#pragma once

#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// Signed area (mm^2, positive counter-clockwise) and centroid (mm) of a polygon.
struct FlatArea {
  double area = 0;
  Vector2d centroid = Vector2d::Zero();
};
FlatArea polygon_area(const Outline& corners);

/// Area (mm^2, holes taken off) and centroid of a zone, in its own plane. A zone's circle is about its origin.
FlatArea zone_area(const Suction& zone);

/// The zone with `times` its area, about its own middle (a circle's origin) and of its shape.
Suction grown(Suction zone, double times);

/// True if the point lies inside the polygon (on its edge: either).
bool inside_polygon(const Outline& corners, const Vector2d& point);

/// The zone's border as polygons: its outline, then its holes. A circle becomes one inscribed with `circle_corners`.
std::vector<Outline> zone_borders(const Suction& zone, int circle_corners);

/// True if every hole lies inside the zone's border and apart from the other holes.
bool holes_fit(const Suction& zone);

}  // namespace cellproof
