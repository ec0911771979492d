// SPDX-License-Identifier: GPL-3.0-or-later
// A motion: a geometric path and a time law, kept apart.
#pragma once

#include "kinematics/path.hpp"
#include "kinematics/time_law.hpp"

namespace cellproof {

struct Motion {
  Path path;
  TimeLaw law;
  double duration() const { return law.duration(); }
};

/// Fractions of each joint's limits for joint moves; tool limits for linear moves (mm/s, mm/s^2, rad/s, rad/s^2).
struct SpeedSettings {
  double joint_speed = 1, joint_acceleration = 1;
  double tool_speed = 250, tool_acceleration = 1000;
  double tool_turn = radians(90), tool_turn_acceleration = radians(360);
};

/// Joint values (rad), speeds (rad/s) and accelerations (rad/s^2) at an instant.
struct MotionPoint {
  Joints values, speeds, accelerations;
};
MotionPoint motion_at(const Arm& arm, const Motion& motion, double time);

/// The same just before an instant, where `motion_at` gives it just after: they differ in acceleration only, at the
/// instants that `motion.law.switches()` lists. At rest before the start.
MotionPoint motion_before(const Arm& arm, const Motion& motion, double time);

/// s is a trapezoid with the least speed/|Δq| and acceleration/|Δq| over the joints.
Motion joint_motion(const Arm& arm, const Joints& from, const Joints& to, const SpeedSettings& settings);

/// What the tool limits ask for, before any joint limit.
struct LinearTiming {
  Motion motion;
  double asked_rate = 0;   ///< greatest ds/dt (1/s) by the tool limits alone
  double rate = 0;         ///< greatest ds/dt in `motion`: lower where a joint's limits hold it back
  int slowest_joint = -1;  ///< 0-based joint that holds it back, -1 if none
  double slowest_s = 0;    ///< where along the path
};

/// Times a followed line: tool limits, then slowed as a whole so that no joint's speed or acceleration limit
/// (the full limits, not the fractions) is exceeded anywhere.
LinearTiming linear_motion(const Arm& arm, const Path& path, const SpeedSettings& settings);

}  // namespace cellproof
