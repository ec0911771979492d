// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/atmosphere.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("ambient pressure by geometric altitude") {
  // Printed in tables of the US Standard Atmosphere 1976, Pa.
  CHECK(ambient_pressure(0) == Approx(101325).margin(0.005).epsilon(0));
  CHECK(ambient_pressure(500e3) == Approx(95461.29).margin(0.01).epsilon(0));
  CHECK(ambient_pressure(1000e3) == Approx(89876.29).margin(0.01).epsilon(0));
  CHECK(ambient_pressure(1500e3) == Approx(84559.68).margin(0.01).epsilon(0));
  CHECK(ambient_pressure(2000e3) == Approx(79501.42).margin(0.01).epsilon(0));
}
