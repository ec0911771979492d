// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/pair_rules.hpp"

#include <algorithm>

namespace cellproof {

namespace {

/// How closely a word of the file names a body: 2 by its own or its part's name, 1 by its kind, 0 not at all.
int closeness(const Scene& scene, BodyId body, const std::string& word) {
  const SceneBody& entry = scene.bodies[body];
  if (word == entry.name) return 2;
  if (entry.owner_part) return word == scene.cell.parts[entry.owner_part].name ? 2 : 0;
  return word == kind_name(entry.kind) ? 1 : 0;
}

/// 0 if the two words do not fit the pair, else 2 (two words) to 4 (two names).
int rank(const Scene& scene, BodyId a, BodyId b, const std::array<std::string, 2>& between) {
  const auto one_way = [&](const std::string& first, const std::string& second) {
    const int to_a = closeness(scene, a, first), to_b = closeness(scene, b, second);
    return to_a && to_b ? to_a + to_b : 0;
  };
  return std::max(one_way(between[0], between[1]), one_way(between[1], between[0]));
}

}  // namespace

bool names_pair(const Scene& scene, BodyId body_a, BodyId body_b, const std::array<std::string, 2>& between) {
  return rank(scene, body_a, body_b, between) > 0;
}

PairRule rule_of_pair(const Scene& scene, BodyId body_a, BodyId body_b) {
  const Rules& rules = scene.cell.rules;
  PairRule rule{rules.clearance, false};
  int best = 0;
  for (const auto& entry : rules.clearances) {
    const int mine = rank(scene, body_a, body_b, entry.between);
    if (mine == 0 || mine < best) continue;
    rule = {mine == best ? std::max(*rule.least_mm, entry.least) : entry.least, true};
    best = mine;
  }
  for (const auto& entry : rules.contacts) {
    const int mine = rank(scene, body_a, body_b, entry.between);
    if (mine > 0 && mine >= best) return {std::nullopt, true};
  }
  return rule;
}

}  // namespace cellproof
