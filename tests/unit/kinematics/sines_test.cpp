// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/sines.hpp"

#include <random>

#include <catch2/catch.hpp>

#include "kinematics/types.hpp"

using namespace cellproof;

TEST_CASE("sines and cosines of six angles agree with the standard library") {
  std::mt19937 engine(9);
  double worst = 0;
  for (const double range : {1e-8, 1.0, 10.0, 1e3, 9e4, 1e12}) {
    std::uniform_real_distribution<double> angle(-range, range);
    for (int i = 0; i < 20000; ++i) {
      std::array<double, 6> angles{};
      for (double& a : angles) a = angle(engine);
      const auto [sines, cosines] = sines_and_cosines(angles);
      for (std::size_t k = 0; k < 6; ++k) {
        worst = std::max({worst, std::abs(sines[k] - std::sin(angles[k])), std::abs(cosines[k] - std::cos(angles[k]))});
      }
    }
  }
  CHECK(worst < 2.3e-16);
}

TEST_CASE("quarter turns are as exact as their nearest doubles allow") {
  const auto [sines, cosines] = sines_and_cosines<6>({0, pi / 2, pi, -pi / 2, 3 * pi / 2, pi / 4});
  CHECK(sines[0] == 0);
  CHECK(cosines[0] == 1);
  CHECK(sines[1] == 1);
  CHECK(cosines[1] == Approx(6.123233995736766e-17).epsilon(1e-6));
  CHECK(cosines[2] == -1);
  CHECK(sines[3] == -1);
  CHECK(sines[4] == -1);
  CHECK(sines[5] == Approx(cosines[5]).epsilon(1e-15));
}

TEST_CASE("an angle that is no number stays none") {
  const auto result = sines_and_cosines<2>({std::numeric_limits<double>::quiet_NaN(), 0.0});
  CHECK(std::isnan(result.sines[0]));
  CHECK(result.sines[1] == 0);
}
