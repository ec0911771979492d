// SPDX-License-Identifier: GPL-3.0-or-later
// When a part begins to lie by itself.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "checks/hold_spans.hpp"

namespace cellproof {

/// A part that lies in a seat from here on: at the start, let go by the arm, brought, or made by the machine.
struct ReleaseMoment {
  std::string step;  ///< empty at the start
  double time_s = 0;
  PartId part;
  HoldId hold;                       ///< that has taken it, if any
  std::optional<double> drop_mm;     ///< let go to fall so far at most
  const PlaceStep* place = nullptr;  ///< of a release
  Arrangement arrangement;           ///< right afterwards
  Joints joints = Joints::Zero();
};
std::vector<ReleaseMoment> release_moments(const Scene& scene, const CycleRun& run);

}  // namespace cellproof
