// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/passing_choices.hpp"

#include <algorithm>

#include "checks/checks.hpp"
#include "scene/basics/parallel.hpp"
#include "scene/clearance/pair_results.hpp"
#include "scene/cycle/plan.hpp"

namespace cellproof {

namespace {

/// What hangs on the choice of a solution, and can be said of one stretch alone.
constexpr std::array<Question, 5> questions_of_choice{check_limits, check_speed, check_clearance, check_contact,
                                                      check_zones};

bool fails(const Finding& finding) {
  return finding.severity == Severity::fail;
}

/// By run: true if it can be run and fails.
std::vector<char> failing_runs(const Evidence& evidence) {
  std::vector<char> failing(evidence.cycle.runs.size(), 0);
  for (const auto& finding : asked(questions_of_choice, evidence))
    for (std::size_t r = 0; r < failing.size(); ++r) {
      const CycleRun& run = evidence.cycle.runs[r];
      if (fails(finding) && !run.failure && run.name == finding.run && run.others == finding.others) failing[r] = 1;
    }
  return failing;
}

StretchMeasures measured(const Scene& scene, const Stretch& stretch, const Run& run) {
  StretchMeasures mine;
  mine.path = measure_path(scene.cell.arm.arm, stretch.motion.path);
  measure_stretch_gaps(scene, stretch, run, *run.results, mine);
  return mine;
}

/// The first thing that fails about a stretch.
std::optional<std::string> unfit(const Scene& scene, const Stretch& stretch, const Run& run) {
  Cycle alone;
  alone.runs.emplace_back().stretches.push_back(stretch);
  Measures measures;
  measures.runs.push_back({measured(scene, stretch, run)});
  const auto findings = asked(questions_of_choice, {scene, alone, measures});
  const auto first = std::find_if(findings.begin(), findings.end(), fails);
  return first == findings.end() ? std::nullopt : std::optional<std::string>(first->message);
}

}  // namespace

void take_passing_choices(const Scene& scene, const Run& run, Cycle& cycle, Measures& measures) {
  const auto failing = failing_runs({scene, cycle, measures});
  Run judging = run, taking = run;
  judging.results = taking.results = run.results ? run.results : std::make_shared<PairResults>();
  judging.curves = false;
  parallel_for(cycle.runs.size(), run.threads, run.stop, [&](std::size_t r) {
    if (!failing[r]) return;
    CycleRun& mine = cycle.runs[r];
    auto anew = plan_run_anew(
        scene, r, mine, [&](const Stretch& stretch) { return unfit(scene, stretch, judging); }, run.stop);
    mine.blocked = std::move(anew.blocked);
    if (!anew.run) return;
    mine = std::move(*anew.run);
    measures.runs[r].clear();
    for (const auto& stretch : mine.stretches) measures.runs[r].push_back(measured(scene, stretch, taking));
  });
}

Cycle with_passing_choices(const Scene& scene, const Run& run, Cycle planned) {
  Measures measures = nothing_measured(planned);
  measure_motion(scene, planned, run, measures);
  measure_gaps(scene, planned, run, measures);
  take_passing_choices(scene, run, planned, measures);
  return planned;
}

}  // namespace cellproof
