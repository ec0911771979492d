// SPDX-License-Identifier: GPL-3.0-or-later
// Quantities with units, converted once at the edge. Factors after NIST SP 811.
#pragma once

#include <string>
#include <string_view>

#include <tl/expected.hpp>

namespace cellproof {

/// Inside the program: mm, rad, kg, N, Pa, N m, kg m^2, W, s, mm/s, rad/s, mm/s^2, rad/s^2, mm^2, kg/m^3, mm^3, mm^3/s.
enum class Kind {
  length,
  angle,
  mass,
  force,
  pressure,
  moment,
  inertia,
  power,
  time,
  speed,
  angular_speed,
  acceleration,
  angular_acceleration,
  area,
  density,
  volume,
  flow
};

/// The file's own defaults for bare numbers (`units`): factors to the internal unit, with their names.
struct DefaultUnits {
  std::string length = "mm", angle = "deg", mass = "kg";
};

/// What a bare number of this kind is multiplied by. Bare defaults beside `units`: N, kPa, N m, kg m^2, W, s, kg/m^3,
/// L, L/min, and the per-second and squared forms of the length and angle units.
double bare_factor(Kind kind, const DefaultUnits& units);

/// "12.7 mm", "0.5 in", "25 inHg" … to the internal unit. Error: a sentence with the units that would serve.
tl::expected<double, std::string> parse_quantity(std::string_view text, Kind kind);

/// Factor of a unit's name to the internal unit of its kind. Error as above.
tl::expected<double, std::string> unit_factor(std::string_view name, Kind kind);

std::string_view kind_name(Kind kind);

}  // namespace cellproof
