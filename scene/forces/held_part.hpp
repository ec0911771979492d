// SPDX-License-Identifier: GPL-3.0-or-later
// A part in hand, and what it pulls with as the arm moves.
#pragma once

#include <limits>

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

/// How hard an emergency stop is, and never harder than each joint stops by itself.
struct StopLimits {
  double deceleration = 0;  ///< mm/s^2, along the path: of what held_speed tells; infinite where the tcp only turns
  Joints joints = Joints::Constant(std::numeric_limits<double>::infinity());  ///< rad/s^2; infinite where not known
};

/// An emergency stop along the path that begins at `law`, where the part moves at `speed` (mm/s) and the joints at
/// `joint_speeds` (rad/s): the path's rate slows as
/// fast as the limits let it, and the path's curvature is felt at full speed.
LawPoint stopping(const LawPoint& law, double speed, const Joints& joint_speeds, const StopLimits& limits);

/// True if the joints move but the tcp stays within a millimetre of where it is at the start, seen at 64 places of the
/// path.
bool only_turns(const Arm& arm, const HeldPart& part, const Path& path);

}  // namespace cellproof
