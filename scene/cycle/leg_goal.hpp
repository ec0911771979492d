// SPDX-License-Identifier: GPL-3.0-or-later
// Where a leg leads, seen from the base.
#pragma once

#include "scene/cycle/legs.hpp"

namespace cellproof {

/// A leg's target in the base frame, for the arm as it stands.
struct LegGoal {
  Pose tcp_in_base, tcp_in_flange;
  Pose flange_in_base() const { return tcp_in_base * tcp_in_flange.inverse(); }
};

/// Asks for leg.target; `joints` (rad) are where the arm stands when the leg begins.
LegGoal goal_of(const Scene& scene, const Leg& leg, const Joints& joints);

}  // namespace cellproof
