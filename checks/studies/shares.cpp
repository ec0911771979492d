// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/shares.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include <fmt/format.h>

#include "checks/closest_pairs.hpp"
#include "checks/each_stretch.hpp"
#include "checks/wrist_limits.hpp"

namespace cellproof {

namespace {

/// The least share of each rule, by its name.
class LeastShares {
 public:
  void take(const std::string& rule, double measured, double asked) {
    if (!(asked > 0) || !std::isfinite(measured)) return;
    const auto [entry, is_new] = least_.try_emplace(rule, measured / asked);
    if (!is_new) entry->second = std::min(entry->second, measured / asked);
  }

  std::vector<RuleShare> shares() const {
    std::vector<RuleShare> all;
    for (const auto& [rule, share] : least_) all.push_back({rule, share, share});
    return all;
  }

 private:
  std::map<std::string, double> least_;
};

void take_motion_and_forces(const Evidence& evidence, LeastShares& shares) {
  const Cell& cell = evidence.scene.cell;
  each_stretch(evidence, [&](const CycleRun&, const Stretch& stretch, const StretchMeasures& measures) {
    shares.take("limits", measures.path.limit_margin, cell.rules.limit_margin);
    if (measures.grip)
      shares.take(
          fmt::format("grip of '{}' in '{}'", cell.parts[stretch.held_part].name, cell.tcps[stretch.holding_tcp].name),
          measures.grip->least.least().factors.least(), cell.rules.grip_factor);
    if (!measures.wrist || !cell.arm.payload) return;
    for (const WristLimit& limit : wrist_limits(*cell.arm.payload, *measures.wrist))
      if (limit.allowed > 0) shares.take("wrist, " + limit.what, limit.allowed, limit.carried);
  });
  for (const auto& run : evidence.measures.holds)
    for (const HoldMeasures& hold : run) {
      if (!hold.measure) continue;
      shares.take(fmt::format("hold '{}'", cell.holds[hold.span.hold].name), hold.measure->factor,
                  cell.rules.hold_factor);
    }
}

}  // namespace

std::vector<RuleShare> shares_of(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  tell_narrowest_pairs(scene, cycle, run, measures);
  const Evidence evidence{scene, cycle, measures};
  LeastShares others;
  take_motion_and_forces(evidence, others);
  std::vector<RuleShare> shares = others.shares();
  for (const NarrowPair& pair : narrowest_pairs(evidence))
    shares.push_back({fmt::format("gap '{}' / '{}'", pair.between[0], pair.between[1]), pair.lower, pair.upper});
  return shares;
}

std::optional<double> least_share(const Evidence& evidence) {
  LeastShares shares;
  take_motion_and_forces(evidence, shares);
  std::optional<double> least;
  for (const RuleShare& share : shares.shares()) least = lesser(least, share.least);
  each_stretch(evidence, [&](const CycleRun&, const Stretch&, const StretchMeasures& measures) {
    for (std::size_t i = 0; i < measures.pairs.size(); ++i)
      if (owes_a_distance(measures.pairs[i]))
        least = lesser(least, measures.clearance.pairs[i].lower_mm / measures.pairs[i].least_mm);
  });
  return least;
}

std::optional<double> lesser(const std::optional<double>& a, const std::optional<double>& b) {
  if (!a || !b) return a ? a : b;
  return std::min(*a, *b);
}

}  // namespace cellproof
