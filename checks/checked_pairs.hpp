// SPDX-License-Identifier: GPL-3.0-or-later
// Every pair that matters during a stretch and no other, with the spans over which it counts.
#pragma once

#include <vector>

#include "scene/clearance/clearance.hpp"

namespace cellproof {

/// Touching fails under any rule, one of 0 included: no pair is asked for less (mm).
inline constexpr double touching_mm = 1e-4;

/// Bodies' numbers by kind, link and name: what is told of pairs does not hang on the order in which the file states
/// its bodies.
std::vector<BodyId> bodies_in_order(const Scene& scene);

/// Pairs with at least one body of the arm, the end effector or a held part; during a shift also what shifts against
/// arm, end effector and parts; surroundings among themselves only where a [[clearance]] names them, or not to touch
/// where the fingers of a hold close and open. Left out: adjacent links, what is fixed to one another, meant contact,
/// and pairs that a [[contact]] frees. A part and the open fingers of its hold are asked about twice: outside the seat
/// zone by their rule, within it not to touch. In the order of the bodies' names, see `bodies_in_order`, the first of a
/// pair first.
std::vector<PairAsked> checked_pairs(const Scene& scene, const Stretch& stretch);

/// False under a rule of 0, which asks for no more than not to touch.
inline bool owes_a_distance(const PairAsked& pair) {
  return pair.least_mm > touching_mm;
}

/// A pair of bodies that the rule spares, because it meets at the seat or because a [[contact]] frees it.
struct SparedPair {
  BodyId a, b;
  bool freed = false;  ///< by a [[contact]]
};

/// Pairs that would be checked all along but are not: part against tool, against what its seat rides on and against the
/// fingers of its hold in the stretches at a seat, and what a [[contact]] frees. A part in hand against its tool is
/// asked about at the grip only.
std::vector<SparedPair> spared_pairs(const Scene& scene, const Stretch& stretch);

}  // namespace cellproof
