// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/judge.hpp"

#include <algorithm>
#include <limits>

#include "checks/best_choices.hpp"
#include "checks/checks.hpp"
#include "checks/measured_cycle.hpp"
#include "checks/studies/shares.hpp"
#include "scene/clearance/pair_results.hpp"
#include "scene/cycle/plan.hpp"

namespace cellproof {

namespace {

constexpr double most_of_a_failure = 0.99;  // what does not pass never scores like what does

/// The first that fails, in time.
const Finding* first_failure(const std::vector<Finding>& findings) {
  const Finding* first = nullptr;
  for (const Finding& finding : findings) {
    if (finding.severity != Severity::fail) continue;
    if (!first || finding.time_s.value_or(0) < first->time_s.value_or(0)) first = &finding;
  }
  return first;
}

Scene placed(const Scene& stated, const SurveyGrid& grid, std::span<const Placement> placements) {
  Scene scene = stated;
  for (std::size_t i = 0; i < placements.size(); ++i)
    scene = with_placement(std::move(scene), grid.movers[i].mover, placements[i]);
  return scene;
}

SpotVerdict failed(const Finding& finding, double score) {
  return {false, std::string(name_of(finding.check)), finding.step, std::min(score, most_of_a_failure), std::nullopt};
}

/// What is asked of one run once its solutions are chosen. Whether a choice serves is asked before anything else.
constexpr std::array<Question, 5> questions_of_run{check_limits, check_speed, check_clearance, check_contact,
                                                   check_zones};

/// A run of the cycle by itself, with what was measured of it.
struct Alone {
  Cycle cycle;
  Measures measures;
};

/// Measures the gaps of a run and gives it its best choice.
void choose_for_run(const Scene& scene, const Run& run, std::size_t number, Cycle& cycle, Measures& measures) {
  CycleRun& mine = cycle.runs[number];
  for (std::size_t s = 0; s < mine.stretches.size(); ++s)
    measure_stretch_gaps(scene, mine.stretches[s], run, *run.results, measures.runs[number][s]);
  take_best_choice(scene, run, number, mine, measures.runs[number]);
}

/// What fails of a run as it was chosen.
std::optional<Finding> failure_of_run(const Scene& scene, std::size_t number, const Cycle& cycle,
                                      const Measures& measures) {
  Alone alone{{{cycle.runs[number]}}, {}};
  alone.measures.runs.push_back(measures.runs[number]);
  const auto findings = asked(questions_of_run, {scene, alone.cycle, alone.measures});
  const Finding* finding = first_failure(findings);
  return finding ? std::optional(*finding) : std::nullopt;
}

SpotVerdict judged(const Scene& scene, const Run& run) {
  Cycle cycle = plan_cycle(scene, run.stop);
  Measures measures = nothing_measured(cycle);
  const Evidence evidence{scene, cycle, measures};
  const auto answer = [&](std::span<const Question> questions, double score) -> std::optional<SpotVerdict> {
    const auto findings = asked(questions, evidence);
    const Finding* finding = first_failure(findings);
    return finding ? std::optional(failed(*finding, score)) : std::nullopt;
  };
  if (auto no = answer(questions_of_sizes, 0)) return *no;
  constexpr std::array<Question, 1> whether_it_reaches{check_reach};
  if (auto no = answer(whether_it_reaches, 0)) return *no;
  measure_motion(scene, cycle, run, measures);
  const bool together = scene.cell.cycle->same_configuration;
  if (together) {
    measure_gaps(scene, cycle, run, measures);
    take_best_choices(scene, run, cycle, measures);
  }
  for (std::size_t r = 0; r < cycle.runs.size() && !run.stop.stop_requested(); ++r) {
    if (!together) choose_for_run(scene, run, r, cycle, measures);
    if (const auto finding = failure_of_run(scene, r, cycle, measures))
      return failed(*finding, least_share(evidence).value_or(0));
  }
  measure_forces(scene, cycle, run, measures);
  const double so_far = least_share(evidence).value_or(0);
  for (const std::span<const Question> questions :
       {std::span<const Question>(questions_of_motion), std::span<const Question>(questions_of_forces),
        std::span<const Question>(questions_of_gaps)})
    if (auto no = answer(questions, so_far)) return *no;
  measure_sightlines(scene, cycle, run, measures);
  if (auto no = answer(questions_of_sight, so_far)) return *no;
  return {true, "", "", std::nullopt, cycle_time(cycle), shares_of(scene, cycle, run, measures)};
}

}  // namespace

SpotJudge judge_of(std::shared_ptr<const Scene> scene, const SurveyGrid& grid, std::stop_token stop) {
  Run alone;
  alone.threads = 1;
  alone.stop = std::move(stop);
  alone.results = std::make_shared<PairResults>();
  return [scene = std::move(scene), grid, alone](std::span<const Placement> placements) {
    return judged(placed(*scene, grid, placements), alone);
  };
}

}  // namespace cellproof
