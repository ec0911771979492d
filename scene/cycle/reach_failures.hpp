// SPDX-License-Identifier: GPL-3.0-or-later
// What to tell where a pose has no joint solution, or none within limits.
#pragma once

#include "scene/cycle/leg_goal.hpp"

namespace cellproof {

/// How far short the arm falls of the goal and what stops it. Asks for a goal without any solution within limits.
PlanFailure unreached(const Arm& arm, const Leg& leg, const LegGoal& goal);

}  // namespace cellproof
