// SPDX-License-Identifier: GPL-3.0-or-later
// Candidates of any six-axis arm, by elimination.
#pragma once

#include <vector>

#include "kinematics/inverse/closed_form.hpp"

namespace cellproof {

/// DH angles that may put the flange where it should be, to be verified; every isolated solution is near one of them.
/// Where the loop closes in a continuum of ways, some near it, the first from `reference` (DH angles).
std::vector<Joints> general_candidates(const NormalChain& chain, const Pose& target, const Joints& reference);

}  // namespace cellproof
