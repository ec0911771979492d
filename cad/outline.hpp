// SPDX-License-Identifier: GPL-3.0-or-later
// Plane outlines of lines and arcs.
#pragma once

#include <variant>
#include <vector>

#include <TopoDS_Wire.hxx>

#include "kinematics/types.hpp"

namespace cellproof::cad {

/// Rounded by an arc that touches both sides; 0 keeps it sharp.
struct Corner {
  Vector2d at;
  double rounding = 0;
};
struct Circle {
  Vector2d at;
  double radius = 0;
};
using Outline = std::variant<std::vector<Corner>, Circle>;

/// Closed, in the plane of the two axes. Throws std::invalid_argument if a corner's sides are too short for its arc.
TopoDS_Wire wire_of(const Outline& outline, const Vector3d& x_axis, const Vector3d& y_axis);

}  // namespace cellproof::cad
