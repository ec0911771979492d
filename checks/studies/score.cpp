// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/score.hpp"

#include <algorithm>

#include "checks/each_stretch.hpp"

namespace cellproof {

std::optional<double> score_of(const Evidence& evidence) {
  std::optional<double> least;
  const auto count = [&](double measured, double asked) {
    if (asked > 0) least = std::min(least.value_or(std::numeric_limits<double>::infinity()), measured / asked);
  };
  each_stretch(evidence, [&](const CycleRun&, const Stretch&, const StretchMeasures& measures) {
    count(measures.path.limit_margin, evidence.scene.cell.rules.limit_margin);
    for (std::size_t i = 0; i < measures.pairs.size(); ++i)
      count(measures.clearance.pairs[i].lower_mm, measures.pairs[i].least_mm);
  });
  return least;
}

}  // namespace cellproof
