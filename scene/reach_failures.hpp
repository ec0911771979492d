// SPDX-License-Identifier: GPL-3.0-or-later
// What to tell where a pose has no joint solution, or none within limits.
#pragma once

#include <vector>

#include "kinematics/inverse.hpp"
#include "scene/legs.hpp"

namespace cellproof {

/// No solution at all: how far short the arm stops on the straight way from `from` to the goal of the flange in base.
PlanFailure unreached(const Arm& arm, const Leg& leg, const Joints& from, const Pose& flange_goal);

/// Every solution is outside limits: names the one that misses by least.
PlanFailure outside_limits(const Arm& arm, const Leg& leg, const std::vector<Solution>& solutions);

}  // namespace cellproof
