// SPDX-License-Identifier: GPL-3.0-or-later
// The fastest way to run a line within the limits of the tool and of every joint.
#pragma once

#include "kinematics/motion/path_span.hpp"
#include "kinematics/motion/time_law.hpp"

namespace cellproof {

/// Where the joints hold the line back most.
struct HeldBack {
  int joint = -1;         ///< 0-based, -1 if none does
  bool by_speed = false;  ///< by its speed limit, else by its acceleration limit
  double s = 0;
  double rate = 0, asked_rate = 0;  ///< ds/dt (1/s) there, and what the tool limits alone would have
};

struct FastestLaw {
  TimeLaw law;
  HeldBack held_back;
};

/// Time-optimal from rest to rest by reachability (H. Pham, Q.-C. Pham, IEEE Trans. Robotics 34(3), 2018): backwards
/// the greatest rate from which the end can be reached, forwards as fast as that allows; limits hold at both ends and
/// half way of each span, less what the joints are proven not to exceed between. Spans are split where the acceleration
/// changes inside one and where the path bends too much. `path` must be a line that goes somewhere.
FastestLaw fastest_law(const Arm& arm, const Path& path, const ToolPace& pace);

}  // namespace cellproof
