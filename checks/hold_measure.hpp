// SPDX-License-Identifier: GPL-3.0-or-later
// How well a fixture holds a part while the machine works on it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "checks/hold_spans.hpp"
#include "checks/pad_measure.hpp"
#include "checks/zone_covers.hpp"
#include "scene/forces/carried_mass.hpp"
#include "scene/forces/cutting_force.hpp"
#include "scene/forces/holding_force.hpp"

namespace cellproof {

/// A hold at the moment it is asked most of.
struct HoldMeasure {
  HoldId hold;
  PartId part;
  std::string step;  ///< the machine's, or the place's where the machine does nothing meanwhile
  double time_s = 0;
  double force = 0;  ///< N: vacuum times area, the clamps, or the pads together
  HoldCase asked;    ///< weight and cut against the force
  SideForce side;
  HoldFactors factors, factors_at_more;            ///< at the cut as given; at an estimate's upper end
  double mass_inside_mm = 0, force_inside_mm = 0;  ///< from the rests' edges; NaN without rests
};

/// True for a hold with a jaw.
bool is_clasped(const Hold& hold);
HoldFactors factors_of(const Hold& hold, const HoldCase& asked);

/// The worst over the work done while it holds, before and after the part is changed by it. Nothing where no mass is
/// known. Without a cut only the weight is asked.
std::optional<HoldMeasure> measure_hold(const Scene& scene, const BodyMasses& masses, const CycleRun& run,
                                        const HoldSpan& span);

/// How the parts cover the hold's suction zones, as placed and as machined. Empty for other holds.
struct HoldCover {
  std::string step;
  double time_s = 0;
  PartId part;
  std::vector<ZoneCover> covers;
};
std::vector<HoldCover> measure_hold_covers(const Scene& scene, const CycleRun& run, const HoldSpan& span);

/// How the pads of the hold's jaw meet the parts, as placed and as machined. Empty for other holds.
struct HoldPads {
  std::string step;
  double time_s = 0;
  PadMeasure pads;
};
std::vector<HoldPads> measure_hold_pads(const Scene& scene, const CycleRun& run, const HoldSpan& span);

}  // namespace cellproof
