// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/measures.hpp"

#include <mutex>

#include <fmt/format.h>

#include "checks/checked_pairs.hpp"
#include "checks/meant_cuts.hpp"
#include "scene/named_entry.hpp"
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

/// Calls measure(stretch, its measures) for every stretch, on all cores.
template <class Measure>
void for_each_stretch(const Cycle& cycle, const Run& run, Measures& measures, const Measure& measure) {
  std::vector<Place> places;
  for (std::size_t r = 0; r < cycle.runs.size(); ++r)
    for (std::size_t s = 0; s < cycle.runs[r].stretches.size(); ++s) places.push_back({r, s});
  parallel_for(places.size(), run.threads, run.stop, [&](std::size_t i) {
    measure(cycle.runs[places[i].run].stretches[places[i].stretch], measures.runs[places[i].run][places[i].stretch]);
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
  for_each_stretch(cycle, run, measures, [&](const Stretch& stretch, StretchMeasures& mine) {
    mine.path = measure_path(scene.cell.arm.arm, stretch.motion.path);
  });
}

void measure_stretch_gaps(const Scene& scene, const Stretch& stretch, const std::stop_token& stop,
                          StretchMeasures& mine) {
  mine.pairs = checked_pairs(scene, stretch);
  mine.clearance = measure_clearance(scene, stretch, mine.pairs, stop);
  mine.in_zone = zone_intrusions(scene, stretch, stop);
  mine.cuts = measure_meant_cuts(scene, stretch);
}

void measure_gaps(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures) {
  Progress progress(run, stretch_count(cycle));
  for_each_stretch(cycle, run, measures, [&](const Stretch& stretch, StretchMeasures& mine) {
    measure_stretch_gaps(scene, stretch, run.stop, mine);
    progress.done(stretch.step);
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
