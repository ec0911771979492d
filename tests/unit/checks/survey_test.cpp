// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/survey.hpp"

#include <atomic>

#include <catch2/catch.hpp>

#include "checks/studies/slack.hpp"
#include "scene/cell/survey_range.hpp"

using namespace cellproof;

namespace {

MoverGrid plane(double half, double step) {
  MoverGrid mover{"pallet", {values_of({-half, half, step}), values_of({-half, half, step}), {0}, {0}}, {}, {}};
  mover.surveyed = {true, true, false, false};
  mover.step = {step, step, 0, 0};
  return mover;
}

Vector2d xy(std::span<const Placement> placements) {
  return placements.front().offset.head<2>();
}

SpotVerdict verdict(bool pass, double score) {
  SpotVerdict verdict;
  verdict.pass = pass;
  verdict.score = score;
  if (pass)
    verdict.cycle_time_s = 10 - score;
  else
    verdict.reason = "reach";
  return verdict;
}

/// Passes in a disk, best in its middle.
SpotJudge disk(const Vector2d& centre, double radius) {
  return [=](std::span<const Placement> placements) {
    const double off = (xy(placements) - centre).norm();
    return verdict(off <= radius, 1 + std::max(0.0, radius - off) / radius);
  };
}

}  // namespace

TEST_CASE("every spot is judged once, and slices put together are the whole") {
  const SurveyGrid grid{{plane(50, 5)}};
  std::atomic<int> asked{0};
  const SpotJudge judge = [&](std::span<const Placement> placements) {
    ++asked;
    return disk({0, 0}, 30)(placements);
  };
  const auto whole = survey_spots(grid, judge, {}, {});
  REQUIRE(whole.size() == 21 * 21);
  CHECK(asked == 21 * 21);
  std::vector<Spot> joined;
  for (std::size_t part = 0; part < 5; ++part) {
    SurveyRun run;
    run.slice = {part, 5};
    for (const Spot& spot : survey_spots(grid, judge, {}, run)) joined.push_back(spot);
  }
  asked = 0;
  const auto again = survey_spots(grid, judge, joined, {});
  CHECK(asked == 0);
  REQUIRE(again.size() == whole.size());
  for (std::size_t i = 0; i < whole.size(); ++i) {
    CHECK(again[i].index == i);
    CHECK(again[i].verdict.pass == whole[i].verdict.pass);
    CHECK(again[i].verdict.score == whole[i].verdict.score);
  }
}

TEST_CASE("a survey that is stopped keeps whole rounds, and goes on from them to the same end") {
  const SurveyGrid grid{{plane(50, 5)}};
  std::vector<Spot> kept;
  std::stop_source source;
  SurveyRun run;
  run.stop = source.get_token();
  run.keep = [&](std::span<const Spot> spots) {
    kept.insert(kept.end(), spots.begin(), spots.end());
    if (kept.size() > 100) source.request_stop();
    return true;
  };
  const SpotJudge judge = disk({3, 4}, 30);
  survey_spots(grid, judge, {}, run);
  CHECK(kept.size() > 100);
  CHECK(kept.size() < grid.size());
  const auto resumed = survey_spots(grid, judge, kept, {}), at_once = survey_spots(grid, judge, {}, {});
  REQUIRE(resumed.size() == at_once.size());
  for (std::size_t i = 0; i < at_once.size(); ++i) CHECK(resumed[i].verdict.score == at_once[i].verdict.score);
}

TEST_CASE("a survey whose spots can't be kept ends at once") {
  const SurveyGrid grid{{plane(50, 5)}};
  std::atomic<std::size_t> asked{0};
  SurveyRun run;
  run.keep = [](std::span<const Spot>) { return false; };
  const auto spots = survey_spots(
      grid,
      [&](std::span<const Placement> placements) {
        ++asked;
        return disk({0, 0}, 30)(placements);
      },
      {}, run);
  CHECK(spots.empty());
  CHECK(asked > 0);
  CHECK(asked < grid.size());
}

TEST_CASE("the best spot has the greatest score, the first of equals") {
  std::vector<Spot> spots{
      {0, verdict(false, 0.9)}, {1, verdict(true, 1.2)}, {2, verdict(true, 1.5)}, {3, verdict(true, 1.5)}};
  CHECK(best_spot(spots) == std::optional<std::size_t>(2));
  CHECK_FALSE(best_spot({{0, verdict(false, 0.99)}}));
}

TEST_CASE("the front holds what no other spot beats in both time and score") {
  const auto at = [](std::size_t index, double time, double score) {
    Spot spot{index, verdict(true, score)};
    spot.verdict.cycle_time_s = time;
    return spot;
  };
  const std::vector<Spot> spots{at(0, 5, 1.2), at(1, 6, 1.2), at(2, 6, 1.5),
                                at(3, 9, 1.4), at(4, 5, 1.1), {5, verdict(false, 3)}};
  CHECK(pareto_front(spots) == std::vector<std::size_t>{0, 2});
}

TEST_CASE("slack is the distance to the rim of what passes, to a sixteenth of a step") {
  // derived: the middle of a disk of 30 mm; the ring is looked at in 16 directions
  const SurveyGrid grid{{plane(60, 5)}};
  const SpotJudge judge = disk({0, 0}, 30);
  const auto spots = survey_spots(grid, judge, {}, {});
  const auto slack = slack_about(grid, spots, *best_spot(spots), judge, {});
  REQUIRE(slack);
  CHECK(*slack <= 30);
  CHECK(*slack > 30 - 5.0 / 16);
}

TEST_CASE("slack never goes beyond what was surveyed") {
  const SurveyGrid grid{{plane(20, 5)}};
  const SpotJudge judge = disk({0, 0}, 1000);
  const auto spots = survey_spots(grid, judge, {}, {});
  CHECK(*slack_about(grid, spots, *best_spot(spots), judge, {}) == 20);
}

TEST_CASE("with one axis surveyed slack is along it only, with none there is no slack") {
  MoverGrid line = plane(20, 5);
  line.surveyed[1] = false;
  line.values[1] = {0};
  line.step[1] = 0;
  const SurveyGrid grid{{line}};
  const SpotJudge judge = [](std::span<const Placement> placements) {
    const double x = xy(placements).x();
    return verdict(x < 13, 2 - std::abs(x) / 100);
  };
  const auto spots = survey_spots(grid, judge, {}, {});
  CHECK(*slack_about(grid, spots, *best_spot(spots), judge, {}) == Approx(13).margin(5.0 / 16));
  MoverGrid point = line;
  point.surveyed[0] = false;
  const SurveyGrid alone{{point}};
  CHECK_FALSE(slack_about(alone, spots, 0, judge, {}));
}

TEST_CASE("a budget finds the best spot of a large grid with a fraction of the work") {
  // Given 81 x 81 x 9 x 9 placements of two things and a smooth score, when 1500 are proved at most, then the best
  // found is within a hundredth of the true one.
  MoverGrid pallet = plane(40, 1), arm = plane(4, 1);
  arm.mover = "base";
  const SurveyGrid grid{{pallet, arm}};
  std::atomic<std::size_t> asked{0};
  const SpotJudge judge = [&](std::span<const Placement> placements) {
    ++asked;
    const double off = (placements[0].offset.head<2>() - Vector2d(13, -22)).norm() / 100 +
                       (placements[1].offset.head<2>() - Vector2d(2, 3)).norm() / 100;
    return verdict(off < 0.4, 2 - off);
  };
  SurveyRun run;
  run.budget = 1500;
  const auto spots = survey_spots(grid, judge, {}, run);
  CHECK(spots.size() == 1500);
  CHECK(asked == 1500);
  const auto best = best_spot(spots);
  REQUIRE(best);
  CHECK(*spots[*best].verdict.score > 1.99);
}
