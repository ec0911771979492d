// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/line_mends.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "scene/cell/pose_text.hpp"
#include "scene/cycle/plan.hpp"

namespace cellproof {

namespace {

constexpr std::array<double, 11> turns_deg{30, -30, 60, -60, 90, -90, 120, -120, 150, -150, 180};
constexpr std::array<double, 2> tilts_deg{20, 40};
constexpr std::size_t most_of_a_kind = 2;

/// A cell changed in one thing, and what to write.
struct Change {
  std::string words;
  Cell cell;
};

Step& step_of(Cell& cell, StepId step_index) {
  return cell.cycle->steps[step_index];
}

Change grasp_turned(Cell cell, const PickStep& pick, double turn_deg) {
  const PartId part = id_named(cell.parts, pick.part);
  auto& grasps = cell.parts[part].grasps;
  const GraspId named = pick.grasp.empty() ? GraspId(0) : id_named(grasps, pick.grasp);
  Grasp& grasp = grasps[named];
  const double turn = grasp.turns.front() + radians(turn_deg);
  grasp.turns = {turn};
  return {fmt::format("the grasp \"{}\" turned by {:g} deg: turns = [{}]", grasp.name, turn_deg,
                      plain_number(degrees(turn))),
          std::move(cell)};
}

Change tool_turned(Cell cell, StepId step_index, double turn_deg) {
  auto& to = std::get<PoseTarget>(std::get<MoveStep>(step_of(cell, step_index).action).to);
  to.at = as_written(to.at * Eigen::AngleAxisd(radians(turn_deg), Vector3d::UnitZ()));
  return {fmt::format("the tool turned by {:g} deg about its z: at = {}", turn_deg, pose_text(to.at, cell.units)),
          std::move(cell)};
}

std::string offsets_text(const std::vector<Vector3d>& offsets) {
  std::string text;
  for (const Vector3d& offset : offsets)
    text += fmt::format("{}[{}, {}, {}]", text.empty() ? "" : ", ", plain_number(offset.x()), plain_number(offset.y()),
                        plain_number(offset.z()));
  return offsets.size() == 1 ? text : "[" + text + "]";
}

/// In mm, to two decimals, as they are printed.
std::vector<Vector3d> tilted(std::vector<Vector3d> offsets, const Eigen::AngleAxisd& by) {
  for (Vector3d& offset : offsets)
    offset = (by * offset).unaryExpr([](double mm) { return std::round(mm * 100) / 100; });
  return offsets;
}

template <class PickOrPlace>
Change tilted_way(Cell cell, StepId step_index, double tilt_deg, std::size_t side) {
  constexpr std::array<const char*, 4> towards{"+x", "+y", "-x", "-y"};
  const Vector3d direction =
      Eigen::AngleAxisd(static_cast<double>(side) * pi / 2, Vector3d::UnitZ()) * Vector3d::UnitX();
  const Eigen::AngleAxisd by(radians(tilt_deg), Vector3d::UnitZ().cross(direction));
  auto& step = std::get<PickOrPlace>(step_of(cell, step_index).action);
  step.approach = tilted(step.approach, by);
  step.retreat = tilted(step.retreat, by);
  return {fmt::format("coming and going {:g} deg towards the seat's {} (mm): approach = {}, retreat = {}", tilt_deg,
                      towards[side], offsets_text(step.approach), offsets_text(step.retreat)),
          std::move(cell)};
}

using Changes = std::vector<Change>;

template <class PickOrPlace>
Changes tilts(const Cell& cell, StepId step_index) {
  Changes changes;
  for (const double tilt : tilts_deg)
    for (std::size_t side = 0; side < 4; ++side)
      changes.push_back(tilted_way<PickOrPlace>(cell, step_index, tilt, side));
  return changes;
}

bool picks_at_any_turn(const Cell& cell, const PickStep& pick) {
  const auto& grasps = cell.parts[id_named(cell.parts, pick.part)].grasps;
  return grasps[pick.grasp.empty() ? GraspId(0) : id_named(grasps, pick.grasp)].any_turn;
}

/// Turns, then tilts: each kind from the smallest change on.
std::vector<Changes> changes_of(const Cell& cell, StepId step_index) {
  const Action& action = cell.cycle->steps[step_index].action;
  std::vector<Changes> kinds;
  if (const auto* pick = std::get_if<PickStep>(&action)) {
    Changes turns;
    if (!picks_at_any_turn(cell, *pick))
      for (const double turn : turns_deg) turns.push_back(grasp_turned(cell, *pick, turn));
    kinds.push_back(std::move(turns));
    kinds.push_back(tilts<PickStep>(cell, step_index));
  } else if (std::holds_alternative<PlaceStep>(action)) {
    kinds.push_back(tilts<PlaceStep>(cell, step_index));
  } else if (const auto* move = std::get_if<MoveStep>(&action);
             move && move->linear && std::holds_alternative<PoseTarget>(move->to)) {
    Changes turns;
    for (const double turn : turns_deg) turns.push_back(tool_turned(cell, step_index, turn));
    kinds.push_back(std::move(turns));
  }
  return kinds;
}

bool by_the_arm(const PlanFailure& failure) {
  return failure.why == PlanFailure::Why::out_of_reach || failure.why == PlanFailure::Why::limits ||
         failure.why == PlanFailure::Why::singularity;
}

}  // namespace

std::string line_mends(const Scene& scene, const Cycle& cycle, StepId step_index, const std::stop_token& stop) {
  std::vector<std::size_t> ending;
  for (std::size_t r = 0; r < cycle.runs.size(); ++r) {
    const auto& failure = cycle.runs[r].failure;
    if (!failure || failure->step_index != step_index) continue;
    if (!by_the_arm(*failure)) return {};
    ending.push_back(r);
  }
  Scene changed = scene;
  const auto serves = [&](const Change& change) {
    changed.cell = change.cell;
    return std::ranges::all_of(ending, [&](std::size_t r) {
      const auto failure = plan_run(changed, r, stop).failure;
      return !failure || failure->step_index > step_index;
    });
  };
  std::string found;
  std::size_t tried = 0;
  for (const Changes& kind : changes_of(scene.cell, step_index)) {
    std::size_t serving = 0;
    for (std::size_t i = 0; i < kind.size() && serving < most_of_a_kind && !stop.stop_requested(); ++i, ++tried)
      if (serves(kind[i])) {
        found += fmt::format("{}{}", found.empty() ? "" : "; or ", kind[i].words);
        ++serving;
      }
  }
  if (tried == 0) return {};
  return found.empty()
             ? fmt::format("{} other turns and directions were tried here: with none of them the arm gets on", tried)
             : "tried, the arm gets past this step with " + found;
}

}  // namespace cellproof
