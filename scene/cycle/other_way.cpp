// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/other_way.hpp"

namespace cellproof {

namespace {

std::string way_to(const MoveTarget& target) {
  return std::holds_alternative<PoseTarget>(target) ? "use another solution (`near`)" : "give other `joints`";
}

struct WayOfStep {
  std::string operator()(const MoveStep& move) const {
    return move.linear ? "let the joint move before this line come with another solution (its `near`)"
                       : way_to(move.to);
  }
  std::string operator()(const PickStep&) const {
    return "come and go another way (`approach`, `retreat`) or give the grasp more `turns`";
  }
  std::string operator()(const PlaceStep&) const { return "come and go another way (`approach`, `retreat`)"; }
  std::string operator()(const LookStep& look) const {
    return look.to ? way_to(*look.to) : "let the move before it lead elsewhere";
  }
  template <class Other>
  std::string operator()(const Other&) const {
    return "let the move before it lead elsewhere";
  }
};

}  // namespace

std::string other_way(const Cell& cell, StepId step) {
  return std::visit(WayOfStep{}, cell.cycle->steps[step].action);
}

}  // namespace cellproof
