// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/grasp_turns.hpp"

#include "scene/basics/named_entry.hpp"

namespace cellproof {

namespace {

std::vector<double> turns_of(const Grasp& grasp) {
  if (!grasp.any_turn) return grasp.turns;
  std::vector<double> turns;
  for (int i = 0; i < 24; ++i) turns.push_back(radians(15.0 * i));
  for (int i = 0; i < 24; ++i) turns.push_back(radians(15.0 * i + 7.5));
  return turns;
}

}  // namespace

const Grasp& grasp_of(const Part& part, const PickStep& pick) {
  return pick.grasp.empty() ? part.grasps.front() : part.grasps[id_named(part.grasps, pick.grasp).index()];
}

std::vector<std::vector<double>> turns_of_picks(const Cell& cell) {
  std::vector<std::vector<double>> all;
  for (const auto& step : cell.cycle->steps) {
    const auto* pick = std::get_if<PickStep>(&step.action);
    if (pick) all.push_back(turns_of(grasp_of(cell[id_named(cell.parts, pick->part)], *pick)));
  }
  return all;
}

}  // namespace cellproof
