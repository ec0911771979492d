// SPDX-License-Identifier: GPL-3.0-or-later
// Every pair that matters during a stretch and no other, with the spans over which it counts.
#pragma once

#include <vector>

#include "scene/clearance/clearance.hpp"

namespace cellproof {

/// Pairs with at least one body of the arm, the end effector or a held part; during a shift also what shifts against
/// arm, end effector and parts; surroundings among themselves only where a [[clearance]] names them. Left out: adjacent
/// links, what is fixed to one another, meant contact, and pairs that a [[contact]] frees.
std::vector<PairAsked> checked_pairs(const Scene& scene, const Stretch& stretch);

/// A pair of bodies that the rule spares, because it meets at the seat or because a [[contact]] frees it.
struct SparedPair {
  BodyId a, b;
  bool freed = false;  ///< by a [[contact]]
};

/// Pairs that would be checked all along but are not: part against tool and against what its seat rides on in the
/// stretches at a seat, and what a [[contact]] frees. A part in hand against its tool is asked about at the grip only.
std::vector<SparedPair> spared_pairs(const Scene& scene, const Stretch& stretch);

}  // namespace cellproof
