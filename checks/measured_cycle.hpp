// SPDX-License-Identifier: GPL-3.0-or-later
// A scene's cycle, planned and measured.
#pragma once

#include "checks/measures.hpp"

namespace cellproof {

struct MeasuredCycle {
  Cycle cycle;
  Measures measures;
};

/// The simple choice of solutions and turns, how the arm moves and what comes close: all that a better choice depends
/// on. Incomplete once stop is requested.
MeasuredCycle measured_cycle(const Scene& scene, const Run& run);

/// How long the longest run takes (s).
double cycle_time(const Cycle& cycle);

}  // namespace cellproof
