// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/pair_friction.hpp"

#include <algorithm>
#include <optional>

namespace cellproof {

namespace {

std::optional<double> named_friction(const Cell& cell, const std::string& holder, const std::string& part) {
  std::optional<double> least;
  for (const PairFriction& pair : cell.frictions)
    if (pair.holder == holder && pair.part == part) least = std::min(least.value_or(pair.value), pair.value);
  return least;
}

}  // namespace

double friction_between(const Cell& cell, std::initializer_list<std::string> holders, const std::string& part,
                        double own) {
  for (const std::string& holder : holders)
    if (const auto named = named_friction(cell, holder, part)) return *named;
  return own;
}

double friction_in(const Cell& cell, const Hold& hold, const std::string& part) {
  const double of_hold = friction_between(cell, {hold.name}, part, hold.friction);
  std::vector<std::string> means = hold.suction;
  if (!hold.jaw.empty()) means.push_back(hold.jaw);
  std::optional<double> least;
  for (const std::string& name : means) {
    const double of_this = named_friction(cell, name, part).value_or(of_hold);
    least = std::min(least.value_or(of_this), of_this);
  }
  return least.value_or(of_hold);
}

}  // namespace cellproof
