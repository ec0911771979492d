// SPDX-License-Identifier: GPL-3.0-or-later
// What is measured once and judged by the checks.
#pragma once

#include <optional>
#include <vector>

#include "checks/checked_pairs.hpp"
#include "checks/grip_measure.hpp"
#include "checks/hold_measure.hpp"
#include "checks/open_meshes.hpp"
#include "checks/pad_measure.hpp"
#include "checks/prove.hpp"
#include "checks/release_measure.hpp"
#include "checks/supply_measure.hpp"
#include "checks/way_out.hpp"
#include "checks/wrist_measure.hpp"
#include "checks/zone_intrusions.hpp"
#include "kinematics/motion/path_measures.hpp"
#include "scene/clearance/clearance.hpp"
#include "scene/clearance/clearance_curve.hpp"
#include "scene/sight/views.hpp"

namespace cellproof {

/// A pair that the rule spares, and where in a stretch it cuts deepest.
struct MeantCut {
  SparedPair pair;
  double depth_mm = 0;  ///< more than `contact_depth`
  double time_s = 0;
};

/// The least gap of some of a stretch's pairs, enclosed: no pair is nearer than `lower_mm`, and this one as near as
/// found.
struct LeastGap {
  BodyId a, b;
  double lower_mm = 0;
  PairClearance found;
};

/// Two bodies that the arm moves, whose distance hardly changes.
struct SteadyPair {
  BodyId a, b;
  double lower_mm = 0, upper_mm = 0, least_mm = 0;  ///< over the cycle, and what is asked
};

struct StretchMeasures {
  PathMeasures path;
  std::vector<PairAsked> pairs;
  StretchClearance clearance;
  std::optional<LeastGap> to_surroundings, among_own;  ///< see gap_groups.hpp
  std::vector<CurvePoint> curve;                       ///< empty unless asked for
  std::vector<WayOut> ways_out;                        ///< of the pairs that fail, in their order
  std::vector<ZoneIntrusion> in_zone;                  ///< where the step asks for a clear zone
  std::vector<MeantCut> cuts;                          ///< deeper than meant contact explains
  std::vector<InOpenMesh> in_open;                     ///< what lies inside a mesh with holes
  std::optional<CameraView> view;                      ///< of a look
  std::optional<GripMeasure> grip;                     ///< where a part is in hand
  std::vector<ZoneCover> covers;                       ///< of a grip: the part against the tcp's suction zones
  std::optional<PadMeasure> pads;                      ///< of a grip: the part against the tcp's jaw
  std::optional<WristMeasure> wrist;
  std::optional<TorqueMeasure> torques;
};

/// A fixture's hold in a run, from taking to letting go.
struct HoldMeasures {
  HoldSpan span;
  std::optional<HoldMeasure> measure;
  std::vector<HoldCover> covers;
  std::vector<HoldPads> pads;
};

/// By run and stretch of the cycle.
struct Measures {
  BodyMasses masses;
  std::vector<std::vector<StretchMeasures>> runs;
  std::vector<std::vector<HoldMeasures>> holds;       ///< by run
  std::vector<std::vector<ReleaseMeasure>> releases;  ///< by run
  std::vector<SupplyMeasure> supplies;
  Table<StepId, std::string> line_mends;  ///< of runs that end there
  std::vector<SteadyPair> steady;         ///< the nearest first
};

/// A place for every stretch, nothing measured yet.
Measures nothing_measured(const Cycle& cycle);

// What is measured, cheapest first. Each fills in its own members; the same on any number of threads; incomplete once
// stop is requested.

/// How the arm moves: `path`.
void measure_motion(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);
/// What must be held and carried: `masses`, `grip`, `covers`, `pads`, `wrist`, `torques`, `holds`, `releases`,
/// `supplies`.
void measure_forces(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);
/// What comes close: `pairs`, `clearance`, `in_zone`, `cuts`, `in_open`, and `curve` if asked for.
void measure_gaps(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);
/// The same of one stretch, with what is known of pairs already.
void measure_stretch_gaps(const Scene& scene, const Stretch& stretch, const Run& run, PairResults& results,
                          StretchMeasures& mine);
/// What to move so that pairs that fail pass: `ways_out`, after the gaps.
void measure_ways_out(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);
/// What else would do where a run ends: `line_mends`.
void measure_line_mends(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);
/// What the cameras see of their targets: `view` without the whole picture.
void measure_sightlines(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);
/// The whole picture too.
void measure_pictures(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);

/// Everything that a check may look at.
struct Evidence {
  const Scene& scene;
  const Cycle& cycle;
  const Measures& measures;
};

}  // namespace cellproof
