// SPDX-License-Identifier: GPL-3.0-or-later
// The pairs that come closest over a whole cycle. What is measured step by step is only as tight as its verdict and the
// step's least distance ask for; before a pair's distance is told it is enclosed over every step of every run.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "checks/measures.hpp"

namespace cellproof {

/// Refines the gaps that `closest_pairs` speaks of, and no others: a pair whose lower bound lies beyond the tenth's
/// upper one is left alone. After `measure_gaps`; what it finds is kept in the measures.
void tell_closest_pairs(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);

/// At most ten, nearest first, after `tell_closest_pairs`.
std::vector<ClosestFigure> closest_pairs(const Evidence& evidence);

/// How near a pair comes over the whole cycle, over what its rule asks, enclosed as its distance is.
struct NarrowPair {
  std::array<std::string, 2> between;
  double lower = 0, upper = 0;
};

/// The same refining for the ten pairs that are narrowest by their rules; those under a rule of 0 owe no distance.
void tell_narrowest_pairs(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);

/// At most ten, narrowest first, after `tell_narrowest_pairs`.
std::vector<NarrowPair> narrowest_pairs(const Evidence& evidence);

/// Two bodies' names, in the order of the alphabet.
using PairName = std::array<std::string, 2>;
PairName pair_name(const std::array<std::string, 2>& between);

/// The least distances of pairs over a proof's whole cycle, each enclosed, where it has such a pair and asks for it: in
/// the order named. Incomplete once run.stop is requested.
std::vector<ClosestFigure> gaps_of_pairs(const Proof& proof, const std::vector<PairName>& pairs, const Run& run);

}  // namespace cellproof
