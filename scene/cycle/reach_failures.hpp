// SPDX-License-Identifier: GPL-3.0-or-later
// What to tell where a pose has no joint solution, or none within limits.
#pragma once

#include "kinematics/inverse/shortfall.hpp"
#include "scene/cycle/legs.hpp"

namespace cellproof {

/// How far short the arm falls of the leg's goal and what stops it. Throws std::logic_error if nothing does: such a
/// pose has a solution.
PlanFailure unreached(const Leg& leg, const Shortfall& found);

}  // namespace cellproof
