// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/measures.hpp"

#include <algorithm>
#include <mutex>

#include <fmt/format.h>

#include "checks/checked_pairs.hpp"
#include "checks/line_mends.hpp"
#include "checks/meant_cuts.hpp"
#include "scene/basics/parallel.hpp"
#include "scene/clearance/pair_results.hpp"

namespace cellproof {

namespace {

struct StretchPlace {
  std::size_t run, stretch;
};

ViewRequest view_request(const Scene& scene, const Stretch& stretch, const Run& run) {
  const auto& look = std::get<LookStep>(scene.cell.cycle->steps[stretch.step_index].action);
  ViewRequest request;
  request.camera = id_named(scene.cell.cameras, look.camera);
  for (const auto& target : look.targets) request.targets.push_back(id_named(scene.cell.targets, target));
  request.arrangement = *stretch.arrangement;
  request.joints = stretch.motion.path.start();
  request.threads = run.threads;
  request.stop = run.stop;
  return request;
}

/// The part against the zones that are to take it.
std::vector<ZoneCover> grip_covers(const Scene& scene, const Stretch& stretch) {
  if (stretch.kind != StretchKind::grip || !stretch.contact) return {};
  const auto& zones = scene.cell.tcps[stretch.contact->tcp].suction;
  if (zones.empty()) return {};
  const Joints joints = stretch.motion.path.start();
  const PartId part = stretch.contact->part;
  const FrameId frame = scene.frame_of(part);
  const Pose part_in_world = world_pose(scene, *stretch.arrangement, arm_frames(scene.cell.arm.arm, joints), frame);
  return zone_covers(scene, *stretch.arrangement, joints, zones, part, part_in_world);
}

GripsOfRuns grips_of(const Measures& measures) {
  GripsOfRuns grips;
  for (const auto& run : measures.runs) {
    auto& of_run = grips.emplace_back();
    for (const StretchMeasures& stretch : run) of_run.push_back(stretch.grip ? &*stretch.grip : nullptr);
  }
  return grips;
}

/// Counts what is done and tells it, from any thread.
class Progress {
 public:
  Progress(const Run& run, std::size_t total) : run_(run), total_(total) {}
  void done(const std::string& what) {
    if (!run_.progress) return;
    const std::lock_guard<std::mutex> lock(mutex_);
    run_.progress(static_cast<double>(++done_) / static_cast<double>(total_), what);
  }

 private:
  const Run& run_;
  std::size_t total_, done_ = 0;
  std::mutex mutex_;
};

/// Calls measure(run, stretch, its measures) for every stretch, on all cores.
template <class Measure>
void for_each_stretch(const Cycle& cycle, const Run& run, Measures& measures, const Measure& measure) {
  std::vector<StretchPlace> places;
  for (std::size_t r = 0; r < cycle.runs.size(); ++r)
    for (std::size_t s = 0; s < cycle.runs[r].stretches.size(); ++s) places.push_back({r, s});
  parallel_for(places.size(), run.threads, run.stop, [&](std::size_t i) {
    const CycleRun& cycle_run = cycle.runs[places[i].run];
    measure(cycle_run, cycle_run.stretches[places[i].stretch], measures.runs[places[i].run][places[i].stretch]);
  });
}

/// Calls look(stretch, its measures) for every look in turn: each view uses all cores by itself.
template <class Look>
void for_each_look(const Cycle& cycle, const Run& run, Measures& measures, const Look& look) {
  for (std::size_t r = 0; r < cycle.runs.size(); ++r)
    for (std::size_t s = 0; s < cycle.runs[r].stretches.size(); ++s) {
      const Stretch& stretch = cycle.runs[r].stretches[s];
      if (stretch.kind == StretchKind::look && !run.stop.stop_requested()) look(stretch, measures.runs[r][s]);
    }
}

std::size_t stretch_count(const Cycle& cycle) {
  std::size_t count = 0;
  for (const auto& run : cycle.runs) count += run.stretches.size();
  return count;
}

}  // namespace

Measures nothing_measured(const Cycle& cycle) {
  Measures measures;
  for (const auto& run : cycle.runs) measures.runs.emplace_back(run.stretches.size());
  return measures;
}

void measure_motion(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  for_each_stretch(cycle, run, measures, [&](const CycleRun&, const Stretch& stretch, StretchMeasures& mine) {
    mine.path = measure_path(scene.cell.arm.arm, stretch.motion.path);
  });
}

void measure_forces(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  measures.masses = body_masses(scene);
  for_each_stretch(cycle, run, measures, [&](const CycleRun&, const Stretch& stretch, StretchMeasures& mine) {
    mine.grip = measure_grip(scene, measures.masses, stretch);
    mine.covers = grip_covers(scene, stretch);
    mine.pads = measure_pads_of_grip(scene, stretch);
    mine.wrist = measure_wrist(scene, measures.masses, stretch);
    mine.torques = measure_torques(scene, measures.masses, stretch);
  });
  measures.holds.clear();
  KnownLimits known;
  for (const auto& run_of_cycle : cycle.runs) {
    auto& holds = measures.holds.emplace_back();
    for (const auto& span : hold_spans(scene, run_of_cycle))
      holds.push_back({span, measure_hold(scene, measures.masses, run_of_cycle, span, known),
                       measure_hold_covers(scene, run_of_cycle, span), measure_hold_pads(scene, run_of_cycle, span)});
  }
  measures.releases.assign(cycle.runs.size(), {});
  parallel_for(cycle.runs.size(), run.threads, run.stop,
               [&](std::size_t r) { measures.releases[r] = measure_releases(scene, measures.masses, cycle.runs[r]); });
  measures.supplies = measure_supplies(scene, measures.masses, cycle, grips_of(measures));
}

void measure_stretch_gaps(const Scene& scene, const Stretch& stretch, const Run& run, PairResults& results,
                          StretchMeasures& mine) {
  mine.pairs = checked_pairs(scene, stretch);
  mine.clearance = measure_clearance(scene, stretch, mine.pairs, run.stop, &results);
  if (run.curves) mine.curve = clearance_over_time(scene, stretch, mine.pairs, run.stop);
  mine.in_zone = zone_intrusions(scene, stretch, run.stop, results);
  mine.cuts = measure_meant_cuts(scene, stretch, results);
  mine.in_open = measure_in_open_meshes(scene, stretch, mine.pairs);
}

void measure_gaps(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  Progress progress(run, stretch_count(cycle));
  // Seats of one cycle share most of their pairs.
  const auto results = run.results ? run.results : std::make_shared<PairResults>();
  for_each_stretch(cycle, run, measures, [&](const CycleRun&, const Stretch& stretch, StretchMeasures& mine) {
    measure_stretch_gaps(scene, stretch, run, *results, mine);
    progress.done(stretch.step);
  });
}

void measure_ways_out(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  for_each_stretch(cycle, run, measures, [&](const CycleRun& cycle_run, const Stretch& stretch, StretchMeasures& mine) {
    mine.ways_out = ways_out(scene, cycle_run, stretch, mine.pairs, mine.clearance, run.stop);
  });
}

void measure_line_mends(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  measures.line_mends.assign(scene.cell.cycle->steps.size(), {});
  parallel_for(measures.line_mends.size(), run.threads, run.stop, [&](std::size_t number) {
    const StepId step(number);
    const auto ends_here = [&](const CycleRun& one) { return one.failure && one.failure->step_index == step; };
    if (std::ranges::any_of(cycle.runs, ends_here))
      measures.line_mends[step] = line_mends(scene, cycle, step, run.stop);
  });
}

void measure_sightlines(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  for_each_look(cycle, run, measures, [&](const Stretch& stretch, StretchMeasures& mine) {
    const ViewRequest request = view_request(scene, stretch, run);
    mine.view = CameraView{request.camera, measure_targets(scene, request), {}};
  });
}

void measure_pictures(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  for_each_look(cycle, run, measures, [&](const Stretch& stretch, StretchMeasures& mine) {
    mine.view = measure_view(scene, view_request(scene, stretch, run));
  });
}

}  // namespace cellproof
