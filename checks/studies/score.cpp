// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/score.hpp"

#include <algorithm>
#include <cmath>

#include "checks/each_stretch.hpp"
#include "checks/wrist_limits.hpp"

namespace cellproof {

namespace {

std::optional<double> share_of_rule(double measured, double asked) {
  if (!(asked > 0) || !std::isfinite(measured)) return std::nullopt;
  return measured / asked;
}

}  // namespace

std::optional<double> lesser(const std::optional<double>& a, const std::optional<double>& b) {
  if (!a || !b) return a ? a : b;
  return std::min(*a, *b);
}

std::optional<double> score_of_motion(const Evidence& evidence) {
  std::optional<double> least;
  each_stretch(evidence, [&](const CycleRun&, const Stretch&, const StretchMeasures& measures) {
    least = lesser(least, share_of_rule(measures.path.limit_margin, evidence.scene.cell.rules.limit_margin));
  });
  return least;
}

std::optional<double> score_of_forces(const Evidence& evidence) {
  const Cell& cell = evidence.scene.cell;
  std::optional<double> least;
  each_stretch(evidence, [&](const CycleRun&, const Stretch&, const StretchMeasures& measures) {
    if (measures.grip)
      least = lesser(least, share_of_rule(measures.grip->least.least().factors.least(), cell.rules.grip_factor));
    if (!measures.wrist || !cell.arm.payload) return;
    for (const WristLimit& limit : wrist_limits(*cell.arm.payload, *measures.wrist))
      if (limit.allowed > 0) least = lesser(least, limit.allowed / limit.carried);
  });
  for (const auto& run : evidence.measures.holds)
    for (const HoldMeasures& hold : run) {
      if (!hold.measure) continue;
      const HoldFactors& factors = hold.measure->factors;
      least = lesser(least, share_of_rule(std::min({factors.slip, factors.tip, factors.lift}), cell.rules.hold_factor));
    }
  return least;
}

std::optional<double> score_of_gaps(const StretchMeasures& measures) {
  std::optional<double> least;
  for (std::size_t i = 0; i < measures.pairs.size(); ++i)
    if (owes_a_distance(measures.pairs[i]))
      least = lesser(least, share_of_rule(measures.clearance.pairs[i].lower_mm, measures.pairs[i].least_mm));
  return least;
}

}  // namespace cellproof
