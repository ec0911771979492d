// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/measured_cycle.hpp"

#include <algorithm>

#include "scene/cycle/plan.hpp"

namespace cellproof {

MeasuredCycle measured_cycle(const Scene& scene, const Run& run) {
  MeasuredCycle measured;
  measured.cycle = plan_cycle(scene, run.stop);
  measured.measures = nothing_measured(measured.cycle);
  measure_motion(scene, measured.cycle, run, measured.measures);
  measure_gaps(scene, measured.cycle, run, measured.measures);
  return measured;
}

double cycle_time(const Cycle& cycle) {
  double longest = 0;
  for (const auto& run : cycle.runs) longest = std::max(longest, run.duration_s);
  return longest;
}

}  // namespace cellproof
