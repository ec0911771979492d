// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/supply.hpp"

#include <algorithm>
#include <cmath>

#include "scene/basics/atmosphere.hpp"

namespace cellproof {

namespace {

/// What the supply itself holds, and those zones that `counts` says yes to.
template <class Counts>
std::optional<double> volume_with(const Cell& cell, const Supply& supply, const Counts& counts) {
  double sum = supply.volume.value_or(0) + (supply.hose ? hose_volume(*supply.hose) : 0);
  for (const Suction& zone : cell.suctions) {
    if (zone.supply != supply.name || !counts(zone)) continue;
    if (!supply.volume && !zone.volume) return std::nullopt;
    sum += zone.volume.value_or(0);
  }
  return sum;
}

}  // namespace

VacuumLine line_of(const Supply& supply, double ambient_pa) {
  return {ambient_pa, supply.flow, supply.hose, supply.leak};
}

double counted_vacuum(const Supply& supply, double ambient_pa) {
  constexpr double share_counted = 0.95;
  const double reached = vacuum_reached(line_of(supply, ambient_pa));
  return std::min(reached, supply.switch_at.value_or(share_counted * reached));
}

void take_vacuum_of_supplies(Cell& cell) {
  const double ambient = ambient_pressure(cell.rules.altitude);
  for (Suction& zone : cell.suctions)
    if (const auto supply = std::ranges::find(cell.supplies, zone.supply, &Supply::name); supply != cell.supplies.end())
      zone.vacuum = counted_vacuum(*supply, ambient);
}

std::optional<double> drawn_volume(const Cell& cell, const Supply& supply) {
  return volume_with(cell, supply, [](const Suction&) { return true; });
}

std::optional<double> kept_volume(const Cell& cell, const Supply& supply, const std::vector<std::string>& zones) {
  return volume_with(cell, supply, [&](const Suction& zone) { return std::ranges::count(zones, zone.name) > 0; });
}

std::optional<double> evacuation_time(const Cell& cell, const Supply& supply) {
  const double ambient = ambient_pressure(cell.rules.altitude);
  const auto volume = drawn_volume(cell, supply);
  if (!volume) return std::nullopt;
  return evacuation_time(line_of(supply, ambient), *volume, supply.switch_at.value_or(counted_vacuum(supply, ambient)));
}

double switch_timeout(double evacuation_s) {
  constexpr double share = 1.5, step = 0.1;
  return std::ceil(share * evacuation_s / step - 1e-9) * step;
}

}  // namespace cellproof
