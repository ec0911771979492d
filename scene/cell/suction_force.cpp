// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/suction_force.hpp"

#include <algorithm>
#include <cmath>

#include "scene/basics/atmosphere.hpp"
#include "scene/cell/supply.hpp"
#include "scene/cell/zone_shape.hpp"

namespace cellproof {

double suction_force(const Suction& zone) {
  constexpr double m2_per_mm2 = 1e-6;
  return zone.vacuum * std::max(0.0, zone_area(zone).area) * m2_per_mm2;
}

double evacuation_time(const Suction& zone, double ambient_pa) {
  if (!zone.volume || !zone.flow) return 0;
  return *zone.volume / *zone.flow * std::log(ambient_pa / (ambient_pa - zone.vacuum));
}

double evacuation_time(const Cell& cell, const std::vector<std::string>& zones) {
  const double ambient = ambient_pressure(cell.rules.altitude);
  double longest = 0;
  for (const auto& name : zones)
    longest = std::max(longest, evacuation_time(cell.suctions[id_named(cell.suctions, name)], ambient));
  for (const Supply& supply : cell.supplies) {
    const auto rides = [&](const Suction& zone) {
      return zone.supply == supply.name && std::ranges::count(zones, zone.name) > 0;
    };
    if (std::ranges::none_of(cell.suctions, rides)) continue;
    const auto time = evacuation_time(cell, supply);
    if (time && std::isfinite(*time)) longest = std::max(longest, *time);
  }
  return longest;
}

}  // namespace cellproof
