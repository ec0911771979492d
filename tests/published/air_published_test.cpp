// SPDX-License-Identifier: GPL-3.0-or-later
// Drawing a volume down, and a leak, beside worked examples of others.
#include <cmath>

#include <catch2/catch.hpp>

#include "scene/cell/vacuum_flow.hpp"

using namespace cellproof;

namespace {

/// A pump that takes the same volume a second at any pressure, as free air: S (1 − v/p_a).
VacuumLine pump(double ambient_pa, double mm3_per_s) {
  VacuumLine line;
  line.ambient = ambient_pa;
  line.flow = {{0, mm3_per_s}, {ambient_pa, 0}};
  return line;
}

constexpr double cubic_metre = 1e9, litre = 1e6;

}  // namespace

TEST_CASE("a cubic metre at 0.1 m3/s from 1000 mbar to 500, 100 and 10") {
  // Engineering ToolBox, "Vacuum - Evacuation Time": printed 6.9, 23 and 46 s.
  const VacuumLine source = pump(100000, 0.1 * cubic_metre);
  CHECK(evacuation_time(source, cubic_metre, 50000) == Approx(6.9).margin(0.05).epsilon(0));
  CHECK(evacuation_time(source, cubic_metre, 90000) == Approx(23).margin(0.5).epsilon(0));
  CHECK(evacuation_time(source, cubic_metre, 99000) == Approx(46).margin(0.5).epsilon(0));
}

TEST_CASE("564 cm3 at 6.95 m3/h from 1013 to 400 mbar") {
  // Schmalz, calculation of the evacuation time: with their factor of 1.3, 9.80e-5 h or 0.35 s.
  const VacuumLine source = pump(101300, 6.95 * cubic_metre / 3600);
  const double told = 1.3 * evacuation_time(source, 564e3, 61300);
  CHECK(told == Approx(0.35).margin(0.005).epsilon(0));
  CHECK(told / 3600 == Approx(9.80e-5).margin(0.005e-5).epsilon(0));
}

TEST_CASE("a leak that lets the pressure in 2 litres rise from 25.3 to 50.6 kPa in 70 s") {
  // 40 CFR 1065.644, example: V 2.0000 L, 293.15 K: printed 2.96570e-4 mol/s.
  constexpr double gas_constant = 8.314472, kelvin = 293.15, mol_per_s = 2.96570e-4;
  VacuumLine closed = pump(101325, 1);
  closed.leak = mol_per_s * gas_constant * kelvin / closed.ambient * cubic_metre;
  CHECK(decay_time(closed, 2 * litre, closed.ambient - 25300, closed.ambient - 50600) == Approx(70).epsilon(1e-5));
}
