// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/measures.hpp"

#include <mutex>

#include <fmt/format.h>

#include "checks/checked_pairs.hpp"
#include "checks/meant_cuts.hpp"
#include "scene/named_entry.hpp"
#include "scene/pair_results.hpp"
#include "scene/parallel.hpp"

namespace cellproof {

namespace {

struct Place {
  std::size_t run, stretch;
};

ViewRequest view_request(const Scene& scene, const Stretch& stretch, const Run& run) {
  const auto& look = std::get<LookStep>(scene.cell.cycle->steps[static_cast<std::size_t>(stretch.step_index)].action);
  ViewRequest request;
  request.camera = index_named(scene.cell.cameras, look.camera);
  for (const auto& target : look.targets) request.targets.push_back(index_named(scene.cell.targets, target));
  request.arrangement = *stretch.arrangement;
  request.joints = stretch.motion.path.start();
  request.threads = run.threads;
  request.stop = run.stop;
  return request;
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

}  // namespace

Measures take_measures(const Scene& scene, const Cycle& cycle, const Run& run) {
  Measures measures;
  std::vector<Place> places;
  for (std::size_t r = 0; r < cycle.runs.size(); ++r) {
    measures.runs.emplace_back(cycle.runs[r].stretches.size());
    for (std::size_t s = 0; s < cycle.runs[r].stretches.size(); ++s) places.push_back({r, s});
  }
  Progress progress(run, places.size());
  // Seats of one cycle share most of their pairs.
  const auto results = run.results ? run.results : std::make_shared<PairResults>();
  parallel_for(places.size(), run.threads, run.stop, [&](std::size_t i) {
    const CycleRun& cycle_run = cycle.runs[places[i].run];
    const Stretch& stretch = cycle_run.stretches[places[i].stretch];
    StretchMeasures& mine = measures.runs[places[i].run][places[i].stretch];
    mine.path = measure_path(scene.cell.arm.arm, stretch.motion.path);
    mine.pairs = checked_pairs(scene, stretch);
    mine.clearance = measure_clearance(scene, stretch, mine.pairs, run.stop, results.get());
    if (run.curves) mine.curve = clearance_over_time(scene, stretch, mine.pairs, run.stop);
    mine.ways_out = ways_out(scene, cycle_run, stretch, mine.pairs, mine.clearance, run.stop);
    mine.in_zone = zone_intrusions(scene, stretch, run.stop, *results);
    mine.cuts = measure_meant_cuts(scene, stretch, *results);
    progress.done(stretch.step);
  });
  for (const auto& place : places) {  // each view uses all cores by itself
    if (run.stop.stop_requested()) break;
    const Stretch& stretch = cycle.runs[place.run].stretches[place.stretch];
    if (stretch.kind != StretchKind::look) continue;
    measures.runs[place.run][place.stretch].view = measure_view(scene, view_request(scene, stretch, run));
  }
  return measures;
}

}  // namespace cellproof
