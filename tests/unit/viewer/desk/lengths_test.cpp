// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/lengths.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("A figure of nothing but noise is 0 without a sign and any other keeps its own") {
  for (const double noise : {0.0, -0.0, -1e-17, -0.04, 0.04}) CHECK(figure(noise, 1) == "0.0");
  CHECK(figure(-0.4, 0) == "0");
  CHECK(figure(-0.06, 1) == "-0.1");
  CHECK(figure(-10, 0) == "-10");
  CHECK(figure(-0.5, 1) == "-0.5");
  CHECK(length_text(-1e-9, LengthUnit::mm) == "0.00 mm");
  CHECK(length_text(-0.00001, LengthUnit::inch) == "0.0000 in");
  CHECK(length_text(25.4, LengthUnit::inch) == "1.0000 in");  // exact by definition
}
