// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/grasp_turns.hpp"

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

std::vector<std::vector<double>> turns_of_picks(const Cell& cell) {
  std::vector<std::vector<double>> all;
  for (const auto& step : cell.cycle->steps) {
    const auto* pick = std::get_if<PickStep>(&step.action);
    if (!pick) continue;
    for (const auto& part : cell.parts)
      if (part.name == pick->part)
        for (const GraspId g : ids_of(part.grasps))
          if (part.grasps[g].name == pick->grasp || (pick->grasp.empty() && g == GraspId(0)))
            all.push_back(turns_of(part.grasps[g]));
  }
  return all;
}

}  // namespace cellproof
