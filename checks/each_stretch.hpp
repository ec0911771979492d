// SPDX-License-Identifier: GPL-3.0-or-later
// Walking the evidence stretch by stretch.
#pragma once

#include "checks/measures.hpp"

namespace cellproof {

/// Calls look(run, stretch, measures) for every stretch of every run, in order.
template <class Look>
void each_stretch(const Evidence& evidence, const Look& look) {
  for (std::size_t r = 0; r < evidence.cycle.runs.size(); ++r)
    for (std::size_t s = 0; s < evidence.cycle.runs[r].stretches.size(); ++s)
      look(evidence.cycle.runs[r], evidence.cycle.runs[r].stretches[s], evidence.measures.runs[r][s]);
}

/// A finding with its place filled in.
inline Finding finding_at(Check check, Severity severity, const CycleRun& run, const Stretch& stretch, double time_s) {
  Finding finding;
  finding.check = check;
  finding.severity = severity;
  finding.run = run.name;
  finding.others = run.others;
  finding.step = stretch.step;
  finding.time_s = time_s;
  return finding;
}

/// True if each seat has several runs that differ in what fills the other seats.
inline bool several_fillings(const Cell& cell) {
  return !cell.cycle->each.empty() && cell.cycle->others && cell.cycle->others->size() > 1;
}

}  // namespace cellproof
