// SPDX-License-Identifier: GPL-3.0-or-later
// What the drives must give to move arm and load.
#pragma once

#include <array>

#include "kinematics/forward.hpp"
#include "kinematics/motion/motion.hpp"
#include "scene/mesh/rigid_mass.hpp"

namespace cellproof {

/// Torque of each joint (N m) about its controller's value, friction and rotors left out. Recursive Newton–Euler
/// (J. Luh, M. Walker, R. Paul, J. Dyn. Sys. 102(2), 1980), in base axes. `links` are link1 … link6 in their own
/// frames, the load belonging to the last; gravity in mm/s^2.
Joints joint_torques(const Arm& arm, const std::array<RigidMass, 6>& links, const MotionPoint& point,
                     const Vector3d& gravity_in_base);

}  // namespace cellproof
