// SPDX-License-Identifier: GPL-3.0-or-later
// How a frame that rides on the arm moves at an instant: velocity and acceleration as of a rigid body.
#pragma once

#include "kinematics/forward.hpp"
#include "kinematics/motion/motion.hpp"

namespace cellproof {

/// Base axes. `velocity`: of the frame's origin (mm/s) over the angular one (rad/s). `acceleration`: of the origin as a
/// point of the body (mm/s²) over the angular one (rad/s²). Another point of the same body at r from the origin has
/// velocity v + ω × r and acceleration a + α × r + ω × (ω × r).
struct FrameMotion {
  Pose in_base = Pose::Identity();
  Twist velocity = Twist::Zero(), acceleration = Twist::Zero();
};

/// A frame fixed to `link` (0 the base … 6; flange and tool ride on 6) while the joints move as `point` says: outward
/// from the base, link by link (as in the first half of Luh, Walker, Paul, J. Dyn. Sys. Meas. Control 102, 1980).
FrameMotion frame_motion(const Arm& arm, const MotionPoint& point, int link, const Pose& frame_in_link);

}  // namespace cellproof
