// SPDX-License-Identifier: GPL-3.0-or-later
// Every pair that matters during a stretch and no other, with the spans over which it counts.
#pragma once

#include <vector>

#include "scene/clearance.hpp"

namespace cellproof {

/// Pairs with at least one body of the arm, the end effector or a held part; during a shift also what shifts against
/// arm, end effector and parts; surroundings among themselves only where a [[clearance]] names them. Left out: adjacent
/// links, what is fixed to one another, meant contact, and pairs that a [[contact]] frees.
std::vector<PairAsked> checked_pairs(const Scene& scene, const Stretch& stretch);

}  // namespace cellproof
