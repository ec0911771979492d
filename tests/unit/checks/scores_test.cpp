// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/scores.hpp"

#include <catch2/catch.hpp>

#include "checks/studies/survey_result.hpp"
#include "scene/cell/survey_range.hpp"

using namespace cellproof;

namespace {

Spot spot(std::size_t index, std::vector<RuleShare> shares) {
  Spot one{index, {}};
  one.verdict.pass = true;
  one.verdict.cycle_time_s = 1;
  one.verdict.shares = std::move(shares);
  return one;
}

}  // namespace

TEST_CASE("a rule that no placement changes leaves the score") {
  // Given a wrist that carries 1.1 times what hangs on it wherever the pallet stands, and a gap that changes.
  const auto scored = with_scores({spot(0, {{"wrist, mass", 1.1, 1.1}, {"gap 'a' / 'b'", 3, 3.05}}),
                                   spot(1, {{"wrist, mass", 1.1, 1.1}, {"gap 'a' / 'b'", 5, 5.1}})});
  CHECK(scored[0].verdict.score == 3);
  CHECK(scored[1].verdict.score == 5);
}

TEST_CASE("what may be the same as far as it is known counts as the same") {
  // Given a gap of a finger and a part that is enclosed a little differently, and a limit that changes.
  const auto scored = with_scores({spot(0, {{"gap 'f' / 'p'", 1.18, 1.2}, {"limits", 2, 2}}),
                                   spot(1, {{"gap 'f' / 'p'", 1.19, 1.21}, {"limits", 1.5, 1.5}})});
  CHECK(scored[0].verdict.score == 2);
  CHECK(scored[1].verdict.score == 1.5);
}

TEST_CASE("a gap that a spot does not list is at least as wide as the widest that it lists") {
  // Given a gap of 4 that one spot does not list among gaps of up to 3: it may be 4 there. Among gaps of up to 6 it
  // can't.
  const std::vector<RuleShare> with{{"gap 'f' / 'p'", 4, 4}, {"gap 'a' / 'b'", 5, 5}};
  CHECK(*with_scores({spot(0, with), spot(1, {{"gap 'a' / 'b'", 3, 3}})})[0].verdict.score == 5);
  CHECK(*with_scores({spot(0, with), spot(1, {{"gap 'a' / 'b'", 6, 6}})})[0].verdict.score == 4);
}

TEST_CASE("where no rule tells spots apart all score the same, and one spot alone keeps its score") {
  const auto scored = with_scores({spot(0, {{"gap 'a' / 'b'", 2, 2.05}}), spot(1, {{"gap 'a' / 'b'", 2.01, 2.06}})});
  CHECK(scored[0].verdict.score == 2);
  CHECK(scored[1].verdict.score == 2);
  CHECK(with_scores({spot(0, {{"limits", 7, 7}})})[0].verdict.score == 7);
  CHECK_FALSE(with_scores({spot(0, {})})[0].verdict.score);
}

TEST_CASE("of equal scores the spot with the most slack is best") {
  // Given spots that pass in a disk of 30 mm about (10, 5), all with the score that the payload leaves.
  MoverGrid mover{"pallet", {values_of({-50, 50, 5}), values_of({-50, 50, 5}), {0}, {0}}, {}, {}};
  mover.surveyed = {true, true, false, false};
  mover.step = {5, 5, 0, 0};
  const SurveyGrid grid{{mover}};
  const SpotJudge judge = [](std::span<const Placement> placements) {
    SpotVerdict verdict;
    verdict.pass = (placements.front().offset.head<2>() - Vector2d(10, 5)).norm() <= 30;
    if (verdict.pass) verdict.shares = {{"wrist, mass", 1.1, 1.1}};
    if (!verdict.pass) verdict.reason = "reach";
    verdict.cycle_time_s = 1;
    return verdict;
  };
  const SurveyResult result = sum_up("spots", grid, survey_spots(grid, judge, {}, {}), judge, {});
  REQUIRE(result.best);
  const Vector3d best = grid.placements(result.spots[*result.best].index).front().offset;
  CHECK((best.head<2>() - Vector2d(10, 5)).norm() < 1e-9);
  CHECK(*result.slack_mm > 29);
}
