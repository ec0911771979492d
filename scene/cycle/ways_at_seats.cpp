// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/ways_at_seats.hpp"

#include <algorithm>

#include "kinematics/inverse/configuration_name.hpp"

namespace cellproof {

namespace {

std::vector<const Stretch*> joint_moves(const CycleRun& run) {
  std::vector<const Stretch*> moves;
  for (const Stretch& stretch : run.stretches)
    if (stretch.kind == StretchKind::joint) moves.push_back(&stretch);
  return moves;
}

void add(SplitMove& move, const std::string& configuration, std::size_t run) {
  const auto known = std::find_if(move.ways.begin(), move.ways.end(),
                                  [&](const WayTaken& way) { return way.configuration == configuration; });
  if (known == move.ways.end())
    move.ways.push_back({configuration, {run}});
  else
    known->runs.push_back(run);
}

}  // namespace

std::vector<SplitMove> ways_at_seats(const Scene& scene, const Cycle& cycle) {
  std::vector<std::vector<const Stretch*>> moves;
  std::size_t most = 0;
  for (const CycleRun& run : cycle.runs) {
    moves.push_back(joint_moves(run));
    most = std::max(most, moves.back().size());
  }
  std::vector<SplitMove> split;
  for (std::size_t i = 0; i < most; ++i) {
    SplitMove move;
    for (std::size_t run = 0; run < moves.size(); ++run) {
      if (i >= moves[run].size()) continue;
      const Stretch& mine = *moves[run][i];
      move.step = mine.step;
      move.step_index = mine.step_index;
      add(move, configuration_name(scene.cell.arm.arm, mine.motion.path.end()), run);
    }
    if (move.ways.size() > 1) split.push_back(std::move(move));
  }
  return split;
}

}  // namespace cellproof
