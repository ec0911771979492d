// SPDX-License-Identifier: GPL-3.0-or-later
// How deep bodies cut where contact is meant.
#pragma once

#include "checks/measures.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

/// Spared pairs that cut deeper than `contact_depth`, each where it is deepest among the instants looked at: for a pair
/// at the seat the grip and the release, and a fixture's closing and opening, with the fingers open and closed; for a
/// pair that a [[contact]] frees both ends of every stretch. Of the way between nothing is said. `results` are searched
/// and added to.
std::vector<MeantCut> measure_meant_cuts(const Scene& scene, const Stretch& stretch, PairResults& results);

}  // namespace cellproof
