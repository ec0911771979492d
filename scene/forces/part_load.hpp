// SPDX-License-Identifier: GPL-3.0-or-later
// What a part in motion asks of whatever holds it.
#pragma once

#include "scene/mesh/rigid_mass.hpp"

namespace cellproof {

/// Acceleration of free fall, mm/s^2: 9.80665 m/s^2 (NIST SP 811), along world -z.
inline constexpr double standard_gravity = 9806.65;

/// How a rigid body moves at an instant: linear acceleration of its centre of mass (mm/s^2), angular velocity (rad/s)
/// and acceleration (rad/s^2), in the axes of one frame.
struct RigidMotion {
  Vector3d com_acceleration = Vector3d::Zero(), turning = Vector3d::Zero(), turning_change = Vector3d::Zero();
};

/// Weight and inertia as a force (N) at a point (mm) with a moment about that point (N mm): what the part pulls with.
struct Load {
  Vector3d force = Vector3d::Zero(), moment = Vector3d::Zero(), at = Vector3d::Zero();
  Vector3d moment_about(const Vector3d& point) const { return moment + (at - point).cross(force); }
};

/// m (g - a) at the centre of mass with -(I α + ω × I ω), after Newton and Euler, in the axes that mass, motion and
/// gravity (mm/s^2) are given in.
Load load_of(const RigidMass& mass, const RigidMotion& motion, const Vector3d& gravity);

}  // namespace cellproof
