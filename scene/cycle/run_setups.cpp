// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/run_setups.hpp"

namespace cellproof {

std::vector<RunSetup> run_setups(const Cell& cell) {
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

}  // namespace cellproof
