// SPDX-License-Identifier: GPL-3.0-or-later
// Joint values that bring a tool as near to a pose as they can from where they start: Newton's iteration,
// damped as by K. Levenberg (1944) and D. W. Marquardt (1963), within limits where asked.
#pragma once

#include "kinematics/forward.hpp"

namespace cellproof {

struct ApproachRequest {
  Pose tool_in_flange = Pose::Identity();
  Pose tool_in_base = Pose::Identity();  ///< where it should come to
  double weight_per_mm = 1;              ///< of position; an angle's weight is 1 per radian
  bool within_limits = false;            ///< of joints and of sums of joints
  int rounds = 40;                       ///< at most
};

struct Approach {
  Joints values;
  double cost = std::numeric_limits<double>::infinity();  ///< sum of squares, weighted
};

/// The nearest local minimum from `start`.
Approach approach(const Arm& arm, const ApproachRequest& request, const Joints& start);

}  // namespace cellproof
