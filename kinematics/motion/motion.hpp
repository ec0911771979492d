// SPDX-License-Identifier: GPL-3.0-or-later
// A motion: a geometric path and a time law, kept apart.
#pragma once

#include "kinematics/motion/fastest_law.hpp"
#include "kinematics/motion/path.hpp"
#include "kinematics/motion/time_law.hpp"

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

/// How the joints held a line back.
struct LineTiming {
  HeldBack held_back;
  ToolPace asked;      ///< what the tool limits alone allow
  double asked_s = 0;  ///< how long the line would take by them
  TimeLaw asked_law() const { return asked.rate > 0 ? TimeLaw(asked.rate, asked.rate_change) : TimeLaw(); }
};

struct LinearTiming {
  Motion motion;
  LineTiming line;
};

/// Times a followed line: as fast as the tool limits and every joint's speed and acceleration limit (the full limits,
/// not the fractions) allow together, slowed only where a joint needs it.
LinearTiming linear_motion(const Arm& arm, const Path& path, const SpeedSettings& settings);

}  // namespace cellproof
