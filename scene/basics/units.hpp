// SPDX-License-Identifier: GPL-3.0-or-later
// Quantities with units, converted once at the edge. Factors after NIST SP 811.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

namespace cellproof {

/// Exact by definition.
inline constexpr double mm_per_inch = 25.4, kg_per_pound = 0.45359237;

/// Inside the program: mm, rad, kg, N, Pa, N m, kg m^2, W, s, mm/s, rad/s, mm/s^2, rad/s^2, mm^2, kg/m^3, mm^3, mm^3/s,
/// N/mm^2 for the specific cutting force.
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
  flow,
  specific_force
};

/// The units that bare lengths, angles and masses are in (`units` in the cell file).
struct DefaultUnits {
  std::string length = "mm", angle = "deg", mass = "kg";
};

/// What a bare number of this kind is multiplied by. Bare defaults beside `units`: N, kPa, N m, kg m^2, W, s, kg/m^3,
/// L, L/min, N/mm^2, and the per-second and squared forms of the length and angle units. Throws std::logic_error if
/// `units` names a unit that does not exist: it was to be checked where it was read.
double bare_factor(Kind kind, const DefaultUnits& units);

/// "12.7 mm", "0.5 in", "1/2 in", "1 1/2 in", "25 inHg" … to the internal unit; the blank before the unit is optional.
/// Error: a sentence that says what is wrong, "; ", and the units that would serve.
tl::expected<double, std::string> parse_quantity(std::string_view text, Kind kind);

/// Factor of a unit's name to the internal unit of its kind. Error as above.
tl::expected<double, std::string> unit_factor(std::string_view name, Kind kind);

/// The unit of a bare number of this kind: "mm/s^2".
std::string bare_unit(Kind kind, const DefaultUnits& units);

/// What follows the number in a quantity: "inHg". Empty if there is no number.
std::string unit_in(std::string_view text);

/// A list as an option's value gives it, "1 in,0,0" or "-10,20,30": each entry bare (the default unit) or with its
/// unit. Error: a sentence that names the entry, counted from 1.
tl::expected<std::vector<double>, std::string> parse_quantities(std::string_view comma_list, Kind kind,
                                                                const DefaultUnits& units);

/// "length", "angular speed" …
std::string_view kind_name(Kind kind);

/// "mm, cm, m, in, ft or thou"
std::string units_of(Kind kind);

}  // namespace cellproof
