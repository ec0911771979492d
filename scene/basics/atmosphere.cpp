// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/atmosphere.hpp"

#include <cmath>

namespace cellproof {

double ambient_pressure(double altitude_mm) {
  constexpr double earth_radius = 6356766.0;
  const double geometric = altitude_mm / 1000.0;
  const double geopotential = earth_radius * geometric / (earth_radius + geometric);
  return 101325.0 * std::pow(1.0 - 0.0065 * geopotential / 288.15, 5.2558761);
}

}  // namespace cellproof
