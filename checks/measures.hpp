// SPDX-License-Identifier: GPL-3.0-or-later
// What is measured once and judged by the checks.
#pragma once

#include <optional>
#include <vector>

#include "checks/prove.hpp"
#include "checks/zone_intrusions.hpp"
#include "kinematics/path_measures.hpp"
#include "scene/clearance.hpp"
#include "scene/views.hpp"

namespace cellproof {

struct StretchMeasures {
  PathMeasures path;
  std::vector<PairAsked> pairs;
  StretchClearance clearance;
  std::vector<ZoneIntrusion> in_zone;  ///< where the step asks for a clear zone
  std::optional<CameraView> view;      ///< of a look
};

/// By run and stretch of the cycle.
struct Measures {
  std::vector<std::vector<StretchMeasures>> runs;
};

/// The same on any number of threads. Incomplete once stop is requested.
Measures take_measures(const Scene& scene, const Cycle& cycle, const Run& run);

/// Everything that a check may look at.
struct Evidence {
  const Scene& scene;
  const Cycle& cycle;
  const Measures& measures;
};

}  // namespace cellproof
