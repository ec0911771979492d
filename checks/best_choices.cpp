// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/best_choices.hpp"

#include <algorithm>
#include <limits>

#include "checks/checks.hpp"
#include "scene/basics/parallel.hpp"
#include "scene/clearance/pair_results.hpp"
#include "scene/cycle/plan.hpp"

namespace cellproof {

namespace {

/// What hangs on the choice of a solution, and can be said of one stretch alone.
constexpr std::array<Question, 5> questions_of_choice{check_limits, check_speed, check_clearance, check_contact,
                                                      check_zones};

bool is_failure(const Finding& finding) {
  return finding.severity == Severity::fail;
}

StretchMeasures measured(const Scene& scene, const Stretch& stretch, const Run& run) {
  StretchMeasures mine;
  mine.path = measure_path(scene.cell.arm.arm, stretch.motion.path);
  measure_stretch_gaps(scene, stretch, run, *run.results, mine);
  return mine;
}

/// The first thing that fails about a stretch that is measured.
std::optional<std::string> unfit(const Scene& scene, const Stretch& stretch, const StretchMeasures& measured) {
  Cycle alone;
  alone.runs.emplace_back().stretches.push_back(stretch);
  Measures measures;
  measures.runs.push_back({measured});
  const auto findings = asked(questions_of_choice, {scene, alone, measures});
  const auto first = std::find_if(findings.begin(), findings.end(), is_failure);
  return first == findings.end() ? std::nullopt : std::optional<std::string>(first->message);
}

/// The steps that fail of what can be run, in order.
std::vector<StepId> failing_steps(const Scene& scene, const CycleRun& run,
                                  const std::vector<StretchMeasures>& measures) {
  std::vector<StepId> steps;
  for (std::size_t s = 0; s < run.stretches.size(); ++s)
    if (unfit(scene, run.stretches[s], measures[s])) steps.push_back(run.stretches[s].step_index);
  return steps;
}

/// Whether the first failure comes later, or where they fail alike the next.
bool comes_further(std::vector<StepId> steps, std::vector<StepId> than) {
  const StepId end(std::numeric_limits<int>::max());  // where nothing fails any more
  steps.push_back(end);
  than.push_back(end);
  return steps > than;
}

/// All runs planned anew, the arm standing in one way at all seats; where no choice passes, they stay as they are.
void take_alike(const Scene& scene, const Run& taking, Cycle& cycle, Measures& measures) {
  Run judging = taking;
  judging.curves = false;
  const auto judge = [&](const Stretch& stretch) { return unfit(scene, stretch, measured(scene, stretch, judging)); };
  auto runs = plan_alike_anew(scene, cycle, judge, taking.threads, taking.stop);
  if (!runs) return;
  cycle.runs = std::move(*runs);
  parallel_for(cycle.runs.size(), taking.threads, taking.stop, [&](std::size_t r) {
    measures.runs[r].clear();
    for (const auto& stretch : cycle.runs[r].stretches) measures.runs[r].push_back(measured(scene, stretch, taking));
  });
}

bool any_fails(const Scene& scene, const Cycle& cycle, const Measures& measures) {
  for (std::size_t r = 0; r < cycle.runs.size(); ++r)
    if (!failing_steps(scene, cycle.runs[r], measures.runs[r]).empty()) return true;
  return false;
}

}  // namespace

void take_best_choice(const Scene& scene, const Run& run, std::size_t number, CycleRun& mine,
                      std::vector<StretchMeasures>& measures) {
  const std::vector<StepId> before = failing_steps(scene, mine, measures);
  if (before.empty()) return;
  Run taking = run;
  if (!taking.results) taking.results = std::make_shared<PairResults>();
  Run judging = taking;
  judging.curves = false;
  auto anew = plan_run_anew(
      scene, number, mine,
      [&](const Stretch& stretch) { return unfit(scene, stretch, measured(scene, stretch, judging)); }, run.stop);
  if (anew.run) {
    std::vector<StretchMeasures> fresh;
    for (const auto& stretch : anew.run->stretches) fresh.push_back(measured(scene, stretch, taking));
    if (comes_further(failing_steps(scene, *anew.run, fresh), before)) {
      mine = std::move(*anew.run);
      measures = std::move(fresh);
    }
  }
  mine.blocked = std::move(anew.blocked);
}

void take_best_choices(const Scene& scene, const Run& run, Cycle& cycle, Measures& measures) {
  Run keeping = run;
  if (!keeping.results) keeping.results = std::make_shared<PairResults>();
  if (scene.cell.cycle->same_configuration) {
    if (any_fails(scene, cycle, measures)) take_alike(scene, keeping, cycle, measures);
    return;
  }
  parallel_for(cycle.runs.size(), run.threads, run.stop,
               [&](std::size_t r) { take_best_choice(scene, keeping, r, cycle.runs[r], measures.runs[r]); });
}

Cycle with_best_choices(const Scene& scene, const Run& run, Cycle planned) {
  Measures measures = nothing_measured(planned);
  measure_motion(scene, planned, run, measures);
  measure_gaps(scene, planned, run, measures);
  take_best_choices(scene, run, planned, measures);
  return planned;
}

}  // namespace cellproof
