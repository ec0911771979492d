// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/plan.hpp"

#include <algorithm>

#include "scene/cycle/configurations.hpp"
#include "scene/cycle/grasp_turns.hpp"
#include "scene/cycle/run_setups.hpp"
#include "scene/cycle/shared_ways.hpp"
#include "scene/cycle/timed_stretch.hpp"
#include "scene/cycle/ways_at_seats.hpp"

namespace cellproof {

namespace {

CycleRun begun_run(const RunSetup& setup) {
  CycleRun run;
  run.name = setup.name;
  run.others = setup.others.value_or("");
  return run;
}

/// Adds a leg to the run: the way it is run, its time law, its place in time.
void append(const Scene& scene, CycleRun& run, const Leg& leg, const Way* way, Joints& standing) {
  run.stretches.push_back(timed_stretch(scene, leg, way, standing, run.duration_s));
  run.duration_s = run.stretches.back().end_s;
  if (way) standing = way->path.end();
}

/// The contract's simple choice, target by target.
struct SimplePlan {
  CycleRun run;
  bool stuck = false;            ///< a target or a line can't be reached from where the choices so far lead
  std::vector<Joints> standing;  ///< where the arm stands before each target
};

SimplePlan plan_simply(const Scene& scene, const RunSetup& setup) {
  SimplePlan plan{begun_run(setup), false, {}};
  CycleRun& run = plan.run;
  Legs legs = spell_out(scene, setup);
  run.failure = legs.failure;
  run.at_end = legs.at_end;
  Joints standing = scene.cell.cycle->start;
  std::span<const Leg> rest(legs.legs);
  while (!rest.empty() && !plan.stuck) {
    plan.standing.push_back(standing);
    const std::size_t together = legs_together(rest);
    const auto ways = find_ways({scene, standing}, rest.first(together));
    std::size_t way = 0;
    for (std::size_t i = 0; i < together; ++i) {
      if (!ways && (rest[i].target || i >= ways.error().failed_leg)) break;  // nothing before a failed line is certain
      append(scene, run, rest[i], rest[i].target ? &(*ways)[way++] : nullptr, standing);
    }
    plan.stuck = !ways;
    if (!ways) {
      run.failure = ways.error().failure;
      run.at_end = *rest.front().arrangement;
    }
    rest = rest.subspan(together);
  }
  if (run.failure) run.failure->time_s = run.duration_s;
  return plan;
}

RunSetup with_first_turns(const Scene& scene, RunSetup setup) {
  setup.turn_of_pick.clear();
  for (const auto& turns : turns_of_picks(scene.cell)) setup.turn_of_pick.push_back(turns.front());
  return setup;
}

CycleRun run_of(const Scene& scene, const RunSetup& setup, const CycleChoice& choice) {
  CycleRun run = begun_run(setup);
  Joints standing = scene.cell.cycle->start;
  for (const auto& chosen : choice.legs) append(scene, run, chosen.leg, chosen.way ? &*chosen.way : nullptr, standing);
  run.at_end = choice.at_end;
  run.blocked = choice.blocked;
  return run;
}

/// The run up to the target that nothing leads to, and why; the simple plan if that comes as far.
CycleRun furthest_run(const Scene& scene, const RunSetup& setup, SimplePlan simple, const CycleChoice& choice) {
  CycleRun run = run_of(scene, setup, choice);
  simple.run.blocked = choice.blocked;
  if (choice.stuck_at.empty()) return simple.run;
  const Joints standing = run.stretches.empty() ? scene.cell.cycle->start : run.stretches.back().motion.path.end();
  const auto ways = find_ways({scene, standing}, choice.stuck_at);
  if (ways || ways.error().failure.step_index <= simple.run.failure->step_index) return simple.run;
  run.failure = ways.error().failure;
  run.failure->time_s = run.duration_s;
  run.at_end = *choice.stuck_at.front().arrangement;
  return run;
}

CycleRun planned(const Scene& scene, const RunSetup& setup, const std::stop_token& stop) {
  SimplePlan simple = plan_simply(scene, with_first_turns(scene, setup));
  if (!simple.stuck) return std::move(simple.run);
  const CycleChoice choice = choose_for_cycle({scene, setup, simple.standing, {}, 0, stop, {}});
  if (!choice.whole) return furthest_run(scene, setup, std::move(simple), choice);
  CycleRun run = run_of(scene, setup, choice);
  run.failure = spell_out(scene, setup).failure;
  if (run.failure) run.failure->time_s = run.duration_s;
  return run;
}

constexpr std::size_t most_judged = 600;

/// Whether a run can't be led on in one of these legs' steps.
bool ends_at(const CycleRun& run, const std::vector<Leg>& legs) {
  return run.failure &&
         std::ranges::any_of(legs, [&](const Leg& leg) { return leg.step_index == run.failure->step_index; });
}

/// Where the arm stands before each target of a run.
std::vector<Joints> standing_in(const CycleRun& run) {
  std::vector<Joints> standing;
  for (const auto& stretch : run.stretches)
    if (stretch.kind == StretchKind::joint) standing.push_back(stretch.motion.path.start());
  return standing;
}

/// The runs with their choices made together, in their order.
std::optional<std::vector<CycleRun>> planned_alike(const Scene& scene, const Cycle& before, const StretchJudge& judge,
                                                   std::size_t judged, int threads, const std::stop_token& stop) {
  const auto setups = run_setups(scene.cell);
  std::vector<ChoiceRequest> requests;
  for (std::size_t r = 0; r < setups.size(); ++r)
    requests.push_back({scene, setups[r], standing_in(before.runs[r]), judge, judged, stop, {}});
  const auto choices = choose_alike(requests, threads);
  if (!choices) return std::nullopt;
  std::vector<CycleRun> runs;
  for (std::size_t r = 0; r < setups.size(); ++r) {
    runs.push_back(run_of(scene, setups[r], (*choices)[r]));
    runs.back().failure = spell_out(scene, setups[r]).failure;
    if (runs.back().failure) runs.back().failure->time_s = runs.back().duration_s;
  }
  return runs;
}

}  // namespace

Cycle plan_cycle(const Scene& scene, const std::stop_token& stop) {
  Cycle cycle;
  for (const auto& setup : run_setups(scene.cell)) {
    if (stop.stop_requested()) return cycle;
    cycle.runs.push_back(planned(scene, setup, stop));
  }
  if (scene.cell.cycle->same_configuration && !ways_at_seats(scene, cycle).empty())
    if (auto runs = planned_alike(scene, cycle, {}, 0, 0, stop)) cycle.runs = std::move(*runs);
  return cycle;
}

std::optional<std::vector<CycleRun>> plan_alike_anew(const Scene& scene, const Cycle& before, const StretchJudge& judge,
                                                     int threads, const std::stop_token& stop) {
  return planned_alike(scene, before, judge, most_judged, threads, stop);
}

CycleRun plan_run(const Scene& scene, std::size_t number, const std::stop_token& stop) {
  return planned(scene, run_setups(scene.cell).at(number), stop);
}

PlannedAnew plan_run_anew(const Scene& scene, std::size_t number, const CycleRun& before, const StretchJudge& judge,
                          const std::stop_token& stop) {
  const RunSetup setup = run_setups(scene.cell).at(number);
  const CycleChoice choice = choose_for_cycle({scene, setup, standing_in(before), judge, most_judged, stop, {}});
  PlannedAnew anew;
  anew.blocked = choice.blocked;
  if (!choice.stuck_at.empty() && !ends_at(before, choice.stuck_at)) return anew;
  anew.run = run_of(scene, setup, choice);
  anew.run->failure = before.failure;
  if (before.failure) anew.run->failure->time_s = anew.run->duration_s;
  if (!choice.stuck_at.empty()) anew.run->at_end = *choice.stuck_at.front().arrangement;
  return anew;
}

}  // namespace cellproof
