// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/plan.hpp"

#include <algorithm>

#include "scene/configurations.hpp"
#include "scene/legs.hpp"

namespace cellproof {

namespace {

// ---- one run ----

Stretch stretch_of(const Leg& leg) {
  Stretch stretch;
  stretch.step = leg.step;
  stretch.step_index = leg.step_index;
  stretch.kind = leg.kind;
  stretch.arrangement = leg.arrangement;
  stretch.held_part = leg.held_part;
  stretch.holding_tcp = leg.holding_tcp;
  stretch.grasp_turn = leg.grasp_turn;
  stretch.contact = leg.contact;
  stretch.shifts = leg.shifts;
  return stretch;
}

const SpeedSettings& speeds_of(const Scene& scene, const Leg& leg) {
  return scene.cell.cycle->steps[static_cast<std::size_t>(leg.step_index)].speeds;
}

/// Adds a leg to the run: the way it is run, its time law, its place in time.
void append(const Scene& scene, CycleRun& run, const Leg& leg, const Way* way, const Joints& standing) {
  Stretch stretch = stretch_of(leg);
  stretch.start_s = run.duration_s;
  if (!way) {
    stretch.motion.path = Path::joint(standing, standing);
    stretch.end_s = stretch.start_s + leg.dwell;
  } else if (leg.kind == StretchKind::linear) {
    LinearTiming timing = linear_motion(scene.cell.arm.arm, way->path, speeds_of(scene, leg));
    stretch.line = timing.line;
    stretch.motion = std::move(timing.motion);
    stretch.end_s = stretch.start_s + stretch.motion.duration();
  } else {
    stretch.motion = joint_motion(scene.cell.arm.arm, way->path.start(), way->path.end(), speeds_of(scene, leg));
    stretch.end_s = stretch.start_s + stretch.motion.duration();
  }
  run.duration_s = stretch.end_s;
  run.stretches.push_back(std::move(stretch));
}

CycleRun plan_run(const Scene& scene, const RunSetup& setup) {
  CycleRun run;
  run.name = setup.name;
  run.others = setup.others.value_or("");
  Legs legs = spell_out(scene, setup);
  run.failure = legs.failure;
  run.at_end = legs.at_end;
  Joints standing = scene.cell.cycle->start;
  std::span<const Leg> rest(legs.legs);
  while (!rest.empty()) {
    const std::size_t together = legs_together(rest);
    const auto ways = find_ways({scene, standing}, rest.first(together));
    std::size_t way = 0;
    for (std::size_t i = 0; i < together; ++i) {
      if (!ways && (i >= ways.error().failed_leg)) break;
      const Way* mine = ways && rest[i].target ? &(*ways)[way++] : nullptr;
      if (!ways && rest[i].target) break;  // nothing before a failed line is certain
      append(scene, run, rest[i], mine, standing);
      if (mine) standing = mine->path.end();
    }
    if (!ways) {
      run.failure = ways.error().failure;
      break;
    }
    rest = rest.subspan(together);
  }
  if (run.failure) run.failure->time_s = run.duration_s;
  return run;
}

// ---- grasp turns: the first choice that works for the whole cycle ----

/// The turns that each pick may take, in the order in which they are tried.
struct PickTurns {
  std::vector<int> step_index;
  std::vector<std::vector<double>> turns;
};

std::vector<double> turns_of(const Grasp& grasp) {
  if (!grasp.any_turn) return grasp.turns;
  std::vector<double> turns;
  for (int i = 0; i < 24; ++i) turns.push_back(radians(15.0 * i));
  return turns;
}

PickTurns pick_turns(const Cell& cell) {
  PickTurns all;
  for (std::size_t i = 0; i < cell.cycle->steps.size(); ++i) {
    const auto* pick = std::get_if<PickStep>(&cell.cycle->steps[i].action);
    if (!pick) continue;
    all.step_index.push_back(static_cast<int>(i));
    for (const auto& part : cell.parts)
      if (part.name == pick->part)
        for (std::size_t g = 0; g < part.grasps.size(); ++g)
          if (part.grasps[g].name == pick->grasp || (pick->grasp.empty() && g == 0))
            all.turns.push_back(turns_of(part.grasps[g]));
  }
  return all;
}

/// Steps the choice on: the last pick that came before the failure takes its next turn. False when none is left:
/// where a part lies does not depend on how it was held before, so turns of earlier picks can't mend it.
bool next_choice(std::vector<std::size_t>& choice, const PickTurns& picks, int failed_step) {
  for (std::size_t i = choice.size(); i-- > 0;)
    if (picks.step_index[i] <= failed_step) return ++choice[i] < picks.turns[i].size();
  return false;
}

CycleRun plan_with_turns(const Scene& scene, RunSetup setup, const std::stop_token& stop) {
  const PickTurns picks = pick_turns(scene.cell);
  std::vector<std::size_t> choice(picks.turns.size(), 0);
  std::optional<CycleRun> furthest;
  do {
    setup.turn_of_pick.clear();
    for (std::size_t i = 0; i < choice.size(); ++i) setup.turn_of_pick.push_back(picks.turns[i][choice[i]]);
    CycleRun run = plan_run(scene, setup);
    if (!run.failure) return run;
    const int failed_step = run.failure->step_index;
    if (!furthest || failed_step > furthest->failure->step_index) furthest = std::move(run);
    if (!next_choice(choice, picks, failed_step)) break;
  } while (!stop.stop_requested());
  return *furthest;
}

/// One setup for every seat of the slots and every entry of `others`.
std::vector<RunSetup> setups(const Cell& cell) {
  const CycleEntry& cycle = *cell.cycle;
  std::vector<std::optional<std::string>> fillings{std::nullopt};
  if (cycle.others) {
    fillings.assign(cycle.others->begin(), cycle.others->end());
    if (fillings.empty()) fillings.emplace_back("none");
  }
  if (cycle.each.empty()) fillings.resize(1);
  const std::size_t count = cycle.each.empty() ? 1 : cycle.each.front().seats.size();
  std::vector<RunSetup> all;
  for (std::size_t seat = 0; seat < count; ++seat)
    for (const auto& filling : fillings) {
      RunSetup setup;
      if (!cycle.each.empty()) setup.name = cycle.each.front().seats[seat];
      setup.seat_of_each.assign(cycle.each.size(), seat);
      setup.others = filling;
      all.push_back(std::move(setup));
    }
  return all;
}

}  // namespace

Cycle plan_cycle(const Scene& scene, const std::stop_token& stop) {
  Cycle cycle;
  for (const auto& setup : setups(scene.cell)) {
    if (stop.stop_requested()) break;
    cycle.runs.push_back(plan_with_turns(scene, setup, stop));
  }
  return cycle;
}

}  // namespace cellproof
