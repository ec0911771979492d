// SPDX-License-Identifier: GPL-3.0-or-later
// Programmes whose answer is plain.
#include "scene/forces/linear_programme.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

LinearProgramme::Vector vector(std::initializer_list<double> values) {
  LinearProgramme::Vector all(static_cast<Eigen::Index>(values.size()));
  Eigen::Index i = 0;
  for (const double value : values) all[i++] = value;
  return all;
}

}  // namespace

TEST_CASE("the most of a sum with shares is the best column") {
  LinearProgramme::Matrix shares(1, 3);
  shares << 1, 1, 1;
  LinearProgramme programme(shares, vector({1}));
  REQUIRE(programme.feasible());
  const auto answer = programme.greatest(vector({2, 5, 3}));
  CHECK(static_cast<double>(answer.x[1]) == Approx(1));
  CHECK_FALSE(answer.ray);
  CHECK(static_cast<double>(programme.greatest(vector({-1, -2, -0.5})).x[2]) == Approx(1));
}

TEST_CASE("what no column can make is not feasible") {
  LinearProgramme::Matrix equations(2, 2);
  equations << 1, 2, 0, 0;
  CHECK_FALSE(LinearProgramme(equations, vector({1, 1})).feasible());
}

TEST_CASE("what grows without bound tells the way") {
  LinearProgramme::Matrix equations(1, 3);
  equations << 1, 1, -1;  // x + y - z = 1
  LinearProgramme programme(equations, vector({1}));
  const auto answer = programme.greatest(vector({1, 0, 0}));
  REQUIRE(answer.ray);
  CHECK(static_cast<double>((equations * *answer.ray).norm()) == Approx(0).margin(1e-12));
  CHECK(static_cast<double>((*answer.ray)[0]) > 0);
}

TEST_CASE("a programme that goes round in circles by other rules ends (E. M. L. Beale, 1955)") {
  // max 3/4 x4 - 20 x5 + 1/2 x6 - 6 x7: 5/4, at x6 = 1; from memory, checked by hand
  LinearProgramme::Matrix equations(3, 7);
  equations << 1, 0, 0, 0.25, -8, -1, 9,  //
      0, 1, 0, 0.5, -12, -0.5, 3,         //
      0, 0, 1, 0, 0, 1, 0;
  LinearProgramme programme(equations, vector({0, 0, 1}));
  REQUIRE(programme.feasible());
  const auto objective = vector({0, 0, 0, 0.75, -20, 0.5, -6});
  CHECK(static_cast<double>(objective.dot(programme.greatest(objective).x)) == Approx(1.25));
}
