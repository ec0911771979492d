// SPDX-License-Identifier: GPL-3.0-or-later
// Units against NIST SP 811, appendix B.
#include <catch2/catch.hpp>

#include "scene/basics/units.hpp"

using namespace cellproof;

namespace {

struct Factor {
  const char* unit;
  Kind kind;
  double factor;     // to the internal unit: mm, kg, N, Pa, W, N m …
  double tolerance;  // relative: 1e-15 for exact factors, else one digit of the last that is printed
};

void check_factors(const std::vector<Factor>& factors) {
  for (const Factor& row : factors) {
    INFO(row.unit);
    CHECK(unit_factor(row.unit, row.kind).value() == Approx(row.factor).epsilon(row.tolerance).margin(0));
  }
}

constexpr double exact = 1e-15;

}  // namespace

TEST_CASE("factors as printed in NIST SP 811") {
  check_factors({
      {"in", Kind::length, 25.4, exact},
      {"ft", Kind::length, 304.8, exact},
      {"thou", Kind::length, 0.0254, exact},
      {"lb", Kind::mass, 0.45359237, exact},
      {"lbf", Kind::force, 4.4482216152605, exact},
      {"psi", Kind::pressure, 6894.757, 1.5e-7},
      {"psi", Kind::specific_force, 0.006894757, 1.5e-7},
      {"inHg", Kind::pressure, 3386.389, exact},  // the conventional one
      {"hp", Kind::power, 745.6999, 1.5e-7},      // 550 ft lbf/s
      {"lbf in", Kind::moment, 0.112984829, 1e-8},
  });
}

TEST_CASE("factors derived from the exact inch, pound and standard gravity") {
  const double inch = 0.0254, pound = 0.45359237, gravity = 9.80665, pi = 3.14159265358979323846;
  check_factors({
      {"mm", Kind::length, 1, exact},
      {"cm", Kind::length, 10, exact},
      {"m", Kind::length, 1000, exact},
      {"deg", Kind::angle, pi / 180, exact},
      {"rad", Kind::angle, 1, exact},
      {"kg", Kind::mass, 1, exact},
      {"g", Kind::mass, 1e-3, exact},
      {"N", Kind::force, 1, exact},
      {"kN", Kind::force, 1e3, exact},
      {"Pa", Kind::pressure, 1, exact},
      {"kPa", Kind::pressure, 1e3, exact},
      {"bar", Kind::pressure, 1e5, exact},
      {"mbar", Kind::pressure, 100, exact},
      {"N m", Kind::moment, 1, exact},
      {"lbf ft", Kind::moment, pound * gravity * 12 * inch, exact},
      {"kg m^2", Kind::inertia, 1, exact},
      {"lb in^2", Kind::inertia, pound * inch * inch, exact},
      {"W", Kind::power, 1, exact},
      {"kW", Kind::power, 1e3, exact},
      {"s", Kind::time, 1, exact},
      {"ms", Kind::time, 1e-3, exact},
      {"min", Kind::time, 60, exact},
      {"mm/s", Kind::speed, 1, exact},
      {"m/s", Kind::speed, 1e3, exact},
      {"in/s", Kind::speed, 25.4, exact},
      {"mm/min", Kind::speed, 1 / 60.0, exact},
      {"m/min", Kind::speed, 1000 / 60.0, exact},
      {"in/min", Kind::speed, 25.4 / 60, exact},
      {"ft/min", Kind::speed, 5.08, exact},
      {"ft/s", Kind::speed, 304.8, exact},
      {"deg/s", Kind::angular_speed, pi / 180, exact},
      {"rad/s", Kind::angular_speed, 1, exact},
      {"rpm", Kind::angular_speed, pi / 30, exact},
      {"mm/s^2", Kind::acceleration, 1, exact},
      {"m/s^2", Kind::acceleration, 1e3, exact},
      {"in/s^2", Kind::acceleration, 25.4, exact},
      {"deg/s^2", Kind::angular_acceleration, pi / 180, exact},
      {"rad/s^2", Kind::angular_acceleration, 1, exact},
      {"mm^2", Kind::area, 1, exact},
      {"cm^2", Kind::area, 100, exact},
      {"in^2", Kind::area, 645.16, exact},
      {"kg/m^3", Kind::density, 1, exact},
      {"g/cm^3", Kind::density, 1000, exact},
      {"lb/in^3", Kind::density, pound / (inch * inch * inch), exact},
      {"L", Kind::volume, 1e6, exact},
      {"mL", Kind::volume, 1e3, exact},
      {"in^3", Kind::volume, 16387.064, exact},
      {"L/min", Kind::flow, 1e6 / 60, exact},
      {"MPa", Kind::pressure, 1e6, exact},
      {"MPa", Kind::specific_force, 1, exact},
      {"N/mm^2", Kind::specific_force, 1, exact},
      {"cfm", Kind::flow, 304.8 * 304.8 * 304.8 / 60, exact},
  });
}
