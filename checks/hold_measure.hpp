// SPDX-License-Identifier: GPL-3.0-or-later
// How well a fixture holds a part while the machine works on it.
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "checks/hold_case.hpp"
#include "checks/pad_measure.hpp"
#include "checks/zone_covers.hpp"

namespace cellproof {

/// A hold at the moment it is asked most of.
struct HoldMeasure {
  HoldId hold;
  PartId part;
  std::string step;  ///< the machine's, or the place's where the machine does nothing meanwhile
  double time_s = 0;
  double force = 0;  ///< N: vacuum times area, the clamps, or the pads together
  std::variant<FixtureCase, ClaspedCase> asked;
  CutForces cut;                          ///< all 0 without one
  bool rests_known = false;               ///< given or found
  bool rests_found = false;               ///< from the meshes
  std::vector<Vector2d> rests;            ///< that carry the part
  std::vector<Vector2d> beside;           ///< rests and clamps as given that carry nothing: the part is not there
  std::vector<Vector2d> outline;          ///< of the part in the seat's xy
  std::vector<PlacedMesh> meshes;         ///< of the part in the seat's frame
  HoldFactors factors, factors_at_more;   ///< each mode by itself, at the cut as given; at an estimate's upper end
  std::optional<FixtureLimit> limit;      ///< of vacuum and clamps with known rests
  double factor = 0, factor_at_more = 0;  ///< that is judged: the limit's, else the least of the modes that are known
  double mass_inside_mm = 0, force_inside_mm = 0;  ///< from the rests' edges; NaN without rests
};

/// What is found for one run and serves the others: seats that are held alike are asked once.
class KnownLimits {
 public:
  FixtureLimit limit_of(const FixtureCase& fixture);

 private:
  std::vector<std::pair<FixtureCase, FixtureLimit>> known_;
};

/// Of the modes that are known.
double least_of(const HoldFactors& factors);

/// The worst over the work done while it holds, before and after the part is changed by it. Nothing where no mass is
/// known. Without a cut only the weight is asked.
std::optional<HoldMeasure> measure_hold(const Scene& scene, const BodyMasses& masses, const CycleRun& run,
                                        const HoldSpan& span, KnownLimits& known);

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
