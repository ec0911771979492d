// SPDX-License-Identifier: GPL-3.0-or-later
// What it costs to take one vertex out of a surface, its triangles then spread from a neighbour.
#pragma once

#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// A bound (mm) on how far any point of the triangles about `centre` is from the triangles that replace them, and the
/// other way round; infinity where none is proven. The old ones are (centre, ring[i], ring[i + 1]), all the way round;
/// the new ones (ring[0], ring[i], ring[i + 1]) for i from 1. A triangle that would be all but a line is not allowed.
double removal_error(const Vector3d& centre, const std::vector<Vector3d>& ring);

}  // namespace cellproof
