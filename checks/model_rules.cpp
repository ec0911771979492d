// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "checks/checked_pairs.hpp"
#include "checks/model_cautions.hpp"
#include "checks/pair_rules.hpp"

namespace cellproof {

namespace {

using Pairs = std::set<std::pair<BodyId, BodyId>>;

/// All pairs that any stretch asks about or spares. Seats of one filling differ only in which copies are there, so that
/// what is spared is looked up in the first run of each.
Pairs pairs_of_cycle(const Evidence& evidence) {
  Pairs pairs;
  std::set<std::string> fillings;
  for (std::size_t r = 0; r < evidence.cycle.runs.size(); ++r) {
    const CycleRun& run = evidence.cycle.runs[r];
    const bool first = fillings.insert(run.others).second;
    for (std::size_t s = 0; s < run.stretches.size(); ++s) {
      for (const PairAsked& asked : evidence.measures.runs[r][s].pairs) pairs.insert({asked.a, asked.b});
      if (!first) continue;
      for (const SparedPair& spared : spared_pairs(evidence.scene, run.stretches[s]))
        pairs.insert({spared.a, spared.b});
    }
  }
  return pairs;
}

}  // namespace

std::vector<Finding> idle_rule_cautions(const Evidence& evidence) {
  const Rules& rules = evidence.scene.cell.rules;
  const auto& runs = evidence.cycle.runs;
  if ((rules.contacts.empty() && rules.clearances.empty()) || runs.empty()) return {};
  if (std::ranges::any_of(runs, [](const CycleRun& run) { return run.failure || run.stretches.empty(); })) return {};
  Pairs pairs = pairs_of_cycle(evidence);
  std::vector<Finding> findings;
  const auto tell_idle = [&](std::string_view table, const Origin& origin, const std::array<std::string, 2>& between) {
    const bool used = std::ranges::any_of(pairs, [&](const std::pair<BodyId, BodyId>& pair) {
      return names_pair(evidence.scene, pair.first, pair.second, between);
    });
    if (used) return;
    findings.push_back(model_caution(
        {between[0], between[1]},
        fmt::format(
            "the [[{}]] in line {} has no effect: no two bodies that '{}' and '{}' name are ever checked against "
            "each other (neighbouring links, what is fixed to one another, what does not move)",
            table, origin.line, between[0], between[1]),
        "name the bodies that are meant, or leave it out"));
  };
  for (const NamedClearance& entry : rules.clearances) tell_idle("clearance", entry.origin, entry.between);
  for (const auto& pair : overlapping_at_start(evidence.scene)) pairs.insert(pair);
  for (const NamedContact& entry : rules.contacts) tell_idle("contact", entry.origin, entry.between);
  return findings;
}

}  // namespace cellproof
