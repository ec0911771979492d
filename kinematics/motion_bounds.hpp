// SPDX-License-Identifier: GPL-3.0-or-later
// How far a point of a moving body can travel between two instants: F. Schwarzer, M. Saha, J.-C. Latombe, 2005.
#pragma once

#include <array>
#include <vector>

#include "kinematics/forward.hpp"

namespace cellproof {

/// A body for motion bounds: the link that carries it (0 base … 6; flange and tool count as 6) and points whose
/// convex hull holds all of it, in that link's frame (mm); eight corners of a box do.
struct CarriedHull {
  int link = 6;
  std::array<Vector3d, 8> corners_in_link{};
};

/// Upper bound (mm) on the path length of any point of the hull while each joint j travels at most `travel[j]` (rad)
/// in all, on a chain that passes through `frames` at some instant. Joints up to `fixed_link` do not count: the bound
/// is of the motion relative to that link (0: relative to the base).
double motion_bound(const Arm& arm, const ArmFrames& frames, const CarriedHull& hull, const Joints& travel,
                    int fixed_link = 0);

}  // namespace cellproof
