// SPDX-License-Identifier: GPL-3.0-or-later
// A part in hand, and what it pulls with as the arm moves.
#pragma once

#include "kinematics/motion/motion.hpp"
#include "scene/forces/part_load.hpp"

namespace cellproof {

/// A part that rides on the flange.
struct HeldPart {
  RigidMass in_flange;                                          ///< of the part, with what is on it
  Pose tcp_in_flange = Pose::Identity();                        ///< the tcp that holds it
  Eigen::Matrix3d base_in_world = Eigen::Matrix3d::Identity();  ///< where gravity comes from
};

/// What the part pulls with at an instant, in the tcp's frame: gravity and the linear and angular acceleration of its
/// centre of mass.
Load held_load(const Arm& arm, const HeldPart& part, const MotionPoint& point);

/// How fast the faster of the tcp and the part's centre of mass moves (mm/s).
double held_speed(const Arm& arm, const HeldPart& part, const MotionPoint& point);

/// An emergency stop along the path that begins at `law`, where the held part moves at `speed` (mm/s): it slows by
/// `deceleration` (mm/s^2) against its velocity, and the path's curvature is felt at full speed.
LawPoint stopping(const LawPoint& law, double speed, double deceleration);

}  // namespace cellproof
