// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/factor_map.hpp"

#include <cmath>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

/// 500 N at the middle of three rests, pushed by 40 N, lifted by 10 N.
FixtureCase pressed() {
  FixtureCase fixture;
  fixture.contacts.rests = {{-60, -40}, {60, -40}, {0, 50}};
  fixture.contacts.friction = 0.3;
  fixture.constant = wrench_of({0, 0, -500}, {0, -10, 0});
  fixture.cut.side = 40;
  fixture.cut.lift = 10;
  fixture.cut.height = 10;
  fixture.cut.over = {{-50, -30}, {50, -30}, {50, 30}, {-50, 30}};
  return fixture;
}

}  // namespace

TEST_CASE("a cell of the map has the factor with the cut at its middle, and none is below that over all places") {
  const FixtureCase fixture = pressed();
  const FactorMap map = factor_map(fixture, 2000);
  CHECK(map.factors.size() <= 2000);
  CHECK(map.factors.size() > 1800);
  const double least = fixture_limit(fixture).factor;
  double least_of_cells = 1e9;
  for (const double factor : map.factors) least_of_cells = std::min(least_of_cells, factor);
  CHECK(least_of_cells >= least * (1 - 1e-4));
  CHECK(least_of_cells < 1.05 * least);  // the least is at a corner, half a cell of 1.7 mm away
  for (const std::size_t cell : {std::size_t{0}, map.columns / 2, map.factors.size() - 1}) {
    FixtureCase there = fixture;
    there.cut.over = {map.middle_of(cell)};
    CHECK(map.factors[cell] == fixture_limit(there).factor);
  }
}

TEST_CASE("cells whose middle is not within the outline have no factor") {
  FixtureCase fixture = pressed();
  fixture.cut.over = {{-50, -30}, {50, -30}, {-50, 30}};
  const FactorMap map = factor_map(fixture, 400);
  std::size_t none = 0;
  for (std::size_t cell = 0; cell < map.factors.size(); ++cell) {
    const Vector2d at = map.middle_of(cell);
    const double above = 0.6 * (at.x() + 50) + at.y() - 30;  // of the slanting side
    if (std::abs(above) > 1e-6) CHECK(std::isnan(map.factors[cell]) == (above > 0));
    none += std::isnan(map.factors[cell]);
  }
  CHECK(none == Approx(static_cast<double>(map.factors.size()) / 2).epsilon(0.1));
}

TEST_CASE("a cut along a line or at one place has cells there") {
  FixtureCase fixture = pressed();
  fixture.cut.over = {{-50, 10}, {50, 10}};
  const FactorMap line = factor_map(fixture, 100);
  CHECK(line.rows == 1);
  CHECK(line.columns == 100);
  CHECK(line.middle_of(0).isApprox(Vector2d(-49.5, 10)));
  fixture.cut.over = {{20, 10}};
  const FactorMap one = factor_map(fixture, 100);
  REQUIRE(one.factors.size() == 1);
  CHECK(one.factors.front() == fixture_limit(fixture).factor);
}
