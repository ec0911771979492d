// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/judge.hpp"

#include <algorithm>
#include <limits>

#include "checks/checked_pairs.hpp"
#include "checks/checks.hpp"
#include "checks/meant_cuts.hpp"
#include "checks/measured_cycle.hpp"
#include "checks/studies/score.hpp"
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

/// Tells apart only distances that can lower the score, with what a clearance may be off by: pairs vie by their share
/// of the rule, and those that owe a rule of 0 don't.
void ask_for_shares(std::vector<PairAsked>& pairs, const std::optional<double>& score) {
  for (PairAsked& pair : pairs) {
    pair.over_mm = pair.least_mm;
    if (!owes_a_distance(pair))
      pair.of_interest_mm = 0;
    else if (score)
      pair.of_interest_mm = 1.03 * *score * pair.least_mm + 0.2;
  }
}

/// As measure_gaps, but distances that can't lower the score any more are not told apart. Returns the score.
std::optional<double> measure_narrow_gaps(const Evidence& evidence, std::optional<double> score, const Run& run,
                                          Measures& measures) {
  const Scene& scene = evidence.scene;
  for (std::size_t r = 0; r < measures.runs.size(); ++r)
    for (std::size_t s = 0; s < measures.runs[r].size(); ++s) {
      const Stretch& stretch = evidence.cycle.runs[r].stretches[s];
      StretchMeasures& mine = measures.runs[r][s];
      mine.pairs = checked_pairs(scene, stretch);
      ask_for_shares(mine.pairs, score);
      mine.clearance = measure_clearance(scene, stretch, mine.pairs, run.stop, run.results.get());
      mine.in_zone = zone_intrusions(scene, stretch, run.stop, *run.results);
      mine.cuts = measure_meant_cuts(scene, stretch, *run.results);
      score = lesser(score, score_of_gaps(mine));
    }
  return score;
}

SpotVerdict judged(const Scene& scene, const Run& run) {
  const Cycle cycle = plan_cycle(scene, run.stop);
  Measures measures = nothing_measured(cycle);
  const Evidence evidence{scene, cycle, measures};
  const auto of_sizes = asked(questions_of_sizes, evidence);
  if (const Finding* finding = first_failure(of_sizes)) return failed(*finding, 0);
  measure_motion(scene, cycle, run, measures);
  const auto of_motion = asked(questions_of_motion, evidence);
  if (const Finding* finding = first_failure(of_motion)) return failed(*finding, 0);
  measure_forces(scene, cycle, run, measures);
  const auto score_before = lesser(score_of_motion(evidence), score_of_forces(evidence));
  const auto of_forces = asked(questions_of_forces, evidence);
  if (const Finding* finding = first_failure(of_forces)) return failed(*finding, score_before.value_or(0));
  const auto score = measure_narrow_gaps(evidence, score_before, run, measures);
  const auto of_gaps = asked(questions_of_gaps, evidence);
  if (const Finding* finding = first_failure(of_gaps)) return failed(*finding, score.value_or(0));
  measure_sightlines(scene, cycle, run, measures);
  const auto of_sight = asked(questions_of_sight, evidence);
  if (const Finding* finding = first_failure(of_sight)) return failed(*finding, score.value_or(0));
  return {true, "", "", score, cycle_time(cycle)};
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
