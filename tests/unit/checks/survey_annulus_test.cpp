// SPDX-License-Identifier: GPL-3.0-or-later
// A survey in free space against the arm's own geometry.
#include <cmath>

#include <catch2/catch.hpp>

#include "checks/studies/judge.hpp"
#include "checks/studies/slack.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;

namespace {

/// The hand looks down at a stand, its flange 350 mm above the base's plane: the wrist's centre is 450 mm up, as high
/// as the shoulder. derived: the arm reaches it as far out as 150 + 600 + √(120² + 640²).
const double furthest = 150 + 600 + std::hypot(120, 640);

Cell cell_with_stand() {
  return test::cell_of(
      test::head +
      "[[tcp]]\nname = \"hand\"\non = \"flange\"\n[[body]]\nname = \"stand\"\nat = { xyz = [1400, 0, 50] }\n"
      "box = [1, 1, 1]\nsize_checked = true\n[[survey]]\nname = \"spots\"\nmove = \"stand\"\n"
      "x = { from = -100, to = 60, step = 10 }\ny = { from = -80, to = 80, step = 10 }\n" +
      test::cycle_from("0, 0, 0, 0, -90, 0") +
      "[[step]]\nname = \"over it\"\nmove = \"joint\"\n"
      "to = { tcp = \"hand\", frame = \"stand\", at = { xyz = [0, 0, 300], turn = [180, 0, 0] } }\n" +
      test::joint_move("0, 0, 0, 0, -90, 0"));
}

}  // namespace

TEST_CASE("the passing spots in free space are those within the arm's reach, and slack ends at its rim") {
  const Cell cell = cell_with_stand();
  auto scene = build_scene(cell);
  REQUIRE(scene);
  const SurveyGrid grid = survey_grid(cell, cell.surveys.front());
  const SpotJudge judge = judge_of(std::make_shared<const Scene>(std::move(*scene)), grid, {});
  const auto spots = survey_spots(grid, judge, {}, {});
  REQUIRE(spots.size() == 17 * 17);
  std::size_t passing = 0, middle = 0;
  for (std::size_t i = 0; i < spots.size(); ++i) {
    const Vector3d offset = grid.placements(spots[i].index).front().offset;
    const double out = std::hypot(1400 + offset.x(), offset.y());
    INFO(offset.transpose() << ": " << spots[i].verdict.reason << " in " << spots[i].verdict.step);
    CHECK(spots[i].verdict.pass == (out < furthest));
    if (!spots[i].verdict.pass) {
      CHECK(spots[i].verdict.reason == "reach");
      CHECK(spots[i].verdict.step == "over it");
    }
    passing += spots[i].verdict.pass;
    if (offset.x() == -40 && offset.y() == 0) middle = i;
  }
  CHECK(passing > 100);
  CHECK(passing < spots.size() - 20);
  const auto slack = slack_about(grid, spots, middle, judge, {});
  REQUIRE(slack);
  CHECK(*slack <= furthest - 1360);
  CHECK(*slack > furthest - 1360 - 10.0 / 16);
}
