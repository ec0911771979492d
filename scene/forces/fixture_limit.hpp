// SPDX-License-Identifier: GPL-3.0-or-later
// How many times over a fixture holds a part against the cut, by the balance of forces and moments.
#pragma once

#include <vector>

#include "scene/forces/cut_loads.hpp"
#include "scene/forces/what_gives.hpp"

namespace cellproof {

/// A part in its fixture, in the seat's frame (N, mm; the seat plane z = 0).
struct FixtureCase {
  Contacts contacts;
  Wrench constant = Wrench::Zero();  ///< weight, vacuum and what clamps press with
  CutRange cut;
  bool weight_only = false;  ///< no cut: the multiple of the weight is asked, and `constant` leaves it out
  Wrench weight = Wrench::Zero();
};

/// True if both are the same to the bit.
bool same(const FixtureCase& one, const FixtureCase& other);

struct FixtureLimit {
  double factor = 0;  ///< the greatest multiple of the cut, at its worst, that is held for certain; 0: not even none
  double best = 0;    ///< the greatest that some share of the load among the rests would hold; `factor` for three rests
  Gives gives = Gives::lift;
  CutLoad worst;                    ///< the cut that is held least
  std::vector<Vector3d> reactions;  ///< of each rest at that multiple of it (N)
};

/// Limit analysis of the rigid part on rests that only press. With three rests what each is pressed with follows from
/// balance; the loads that are held are a convex set (by the static theorem, see held_multiple), so the corners of the
/// cut's loads tell all. More rests share the load as their heights and stiffness have it, which no file tells. Every
/// share is a mixture of shares among three rests, and friction is least for one of these: a load is held for certain
/// if all threes that could carry it alone hold it, and all twos (a load over the line between them). For threes the
/// cut's corners tell; for twos loads over their line along the border of `over`: at its places, a 24th of its longest
/// side apart, and wherever a corner's load comes to lie over it. The side force is up to 0.5 % too great, which covers
/// what lies between them.
/// With clamps: friction at their tips is inside each balance; which threes could carry a load is told without it.
FixtureLimit fixture_limit(const FixtureCase& fixture);

}  // namespace cellproof
