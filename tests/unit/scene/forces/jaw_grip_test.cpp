// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/jaw_grip.hpp"

#include <cmath>

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("a load that only rounding makes demands nothing") {
  Jaw jaw;
  jaw.force = 400;
  jaw.friction = 0.2;
  Load load;
  load.force = Vector3d(1e-15, 0, 0);
  const GripFactors factors = grip_factors(jaw, load);
  CHECK(std::isinf(factors.pull));
  CHECK(std::isinf(factors.slip));
}
