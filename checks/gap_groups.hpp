// SPDX-License-Identifier: GPL-3.0-or-later
// Gaps told apart: of what the arm moves to all that stands about it, and among what it moves.
#pragma once

#include "checks/measures.hpp"

namespace cellproof {

/// True if the arm moves both bodies in the stretch: its own, the end effector's, or the part in hand.
bool both_carried(const Scene& scene, const Stretch& stretch, BodyId a, BodyId b);

/// Fills in `to_surroundings` and `among_own` of every stretch and the cycle's `steady` pairs, after the gaps are
/// measured. A pair that the arm moves is steady if, where every stretch ends, it is no further than half a millimetre
/// or a twentieth more than the least that it comes to anywhere; it is left out of `among_own`.
void tell_gap_groups(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);

}  // namespace cellproof
