// SPDX-License-Identifier: GPL-3.0-or-later
// Which clearance two bodies owe each other: the most specific rule of the file wins.
#pragma once

#include <optional>

#include "scene/scene.hpp"

namespace cellproof {

/// The least distance (mm) asked of a pair, or none where a [[contact]] frees it. Two names come before a name and a
/// word, that before two words, that before rules.clearance; a contact comes before a clearance of its own rank.
struct PairRule {
  std::optional<double> least_mm;
  bool named = false;  ///< by a [[clearance]], not the general rule
};
PairRule rule_of_pair(const Scene& scene, BodyId body_a, BodyId body_b);

/// True if the two words of a [[contact]] or [[clearance]] fit the pair, closely or not.
bool names_pair(const Scene& scene, BodyId body_a, BodyId body_b, const std::array<std::string, 2>& between);

}  // namespace cellproof
