// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/suction_force.hpp"

#include <algorithm>
#include <cmath>

#include "scene/basics/atmosphere.hpp"
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
  return longest;
}

}  // namespace cellproof
