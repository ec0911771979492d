// SPDX-License-Identifier: GPL-3.0-or-later
// The least convex outline around points of a plane.
#pragma once

#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// Its corners, counterclockwise, none on a straight side; the two ends of points on one line, the one of points that
/// are all the same. A. M. Andrew, Inf. Proc. Letters 9(5):216-219, 1979.
std::vector<Vector2d> convex_outline(std::vector<Vector2d> points);

}  // namespace cellproof
