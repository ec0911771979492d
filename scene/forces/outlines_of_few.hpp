// SPDX-License-Identifier: GPL-3.0-or-later
// Convex outlines with few corners: one drawn outward, one drawn inward.
#pragma once

#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// A convex outline of at most `most` corners (4 or more) that holds all points; the points' own hull where that has no
/// more.
std::vector<Vector2d> outline_around(const std::vector<Vector2d>& points, std::size_t most);

/// At most `most` of the corners of the points' hull: its outline lies within the hull. Those are left out first that
/// cost least area, and all that stand off a straight side by rounding.
std::vector<Vector2d> outline_within(const std::vector<Vector2d>& points, std::size_t most);

}  // namespace cellproof
