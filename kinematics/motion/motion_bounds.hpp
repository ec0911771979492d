// SPDX-License-Identifier: GPL-3.0-or-later
// How far a point of a moving body can travel between two instants: F. Schwarzer, M. Saha, J.-C. Latombe, 2005.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "kinematics/forward.hpp"

namespace cellproof {

/// A body for motion bounds: the link that carries it (0 base … 6; flange and tool count as 6) and points whose
/// convex hull holds all of it, in that link's frame (mm); eight corners of a box do.
struct CarriedHull {
  std::size_t link = 6;
  std::array<Vector3d, 8> corners_in_link{};
};

/// Upper bound (mm) on the path length of any point of the hull while each joint j travels at most `travel[j]` (rad)
/// in all, on a chain that passes through `frames` at some instant. Joints up to `fixed_link` do not count: the bound
/// is of the motion relative to that link (0: relative to the base).
double motion_bound(const Arm& arm, const ArmFrames& frames, const CarriedHull& hull, const Joints& travel,
                    std::size_t fixed_link = 0);

/// Over the same motions: for each joint beyond fixed_link an upper bound (mm) on the distance of any point of the hull
/// from its axis; 0 for the others.
Joints axis_radii(const Arm& arm, const ArmFrames& frames, const CarriedHull& hull, const Joints& travel,
                  std::size_t fixed_link = 0);

/// A motion as if it went on evenly: the twist of the whole motion at a point, and how far it may be off.
struct EvenMotion {
  Vector3d velocity = Vector3d::Zero();  ///< mm over the whole motion, of the hull's point at `about`
  Vector3d turning = Vector3d::Zero();   ///< rad over the whole motion
  Vector3d about = Vector3d::Zero();     ///< in base, at the middle
  double stray_mm = 0;
};

/// Joints run evenly by `change` (rad) in all, half of it on each side of `middle`, and each may be off that by up to
/// `off` (rad). A point p is then displaced from the middle by u · (velocity + turning × (p − about)), u in [-1/2,
/// 1/2], to within stray_mm: the second derivative of a chain's point by two of its angles is at most its distance from
/// the outer axis.
EvenMotion even_motion(const Arm& arm, const ArmFrames& middle, const CarriedHull& hull, const Joints& change,
                       const Joints& off, std::size_t fixed_link = 0);

}  // namespace cellproof
