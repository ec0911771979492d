// SPDX-License-Identifier: GPL-3.0-or-later
// A survey's verdict against the proof of the cell with the placement written into the file.
#include <algorithm>
#include <cstdlib>
#include <random>

#include "checks/studies/judge.hpp"
#include "tests/support/planned_cell.hpp"
#include "tests/support/proof.hpp"
#include "tests/support/slim_arm.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A cell with something that moves: its text with the mover at an offset.
struct Movable {
  std::string mover;
  double span_mm;  ///< of the offsets in x and y
  double span_deg;
  std::function<std::string(const Vector3d& offset, double yaw_deg)> text;
};

std::string place(const Vector3d& at, double yaw_deg) {
  return fmt::format("{{ xyz = [{:.17g}, {:.17g}, {:.17g}], turn = [0, 0, {:.17g}] }}", at.x(), at.y(), at.z(),
                     yaw_deg);
}

/// Two poses among posts, of which one is surveyed.
Movable posts() {
  return {"post 0", 350, 90, [](const Vector3d& offset, double yaw) {
            return slim_arm() +
                   body_text("post 0", "world", place(Vector3d(650, 250, 700) + offset, yaw), "box = [90, 90, 500]") +
                   body_text("post", "world", "{ xyz = [500, -350, 900] }", "box = [90, 90, 90]") +
                   cycle_from("0, -60, 60, 0, -90, 0") + pose_move({650, 350, 500}, 30) +
                   pose_move({700, -300, 450}, -60);
          }};
}

/// A brick that may be gripped by two turns, and a bracket on one side of the hand.
Movable grasps() {
  return {"post", 160, 180, [](const Vector3d& offset, double yaw) {
            return head + shop +
                   body_text("bracket", "flange", "{ xyz = [103.9, 60, 75], turn = [0, 0, 30] }",
                             "box = [60, 20, 20]") +
                   body_text("post", "world", place(Vector3d(750, 270, 350) + offset, yaw), "box = [20, 20, 100]") +
                   home + pick + put;
          }};
}

/// The arm itself stands elsewhere; margins to the limits are asked for.
Movable arm_base() {
  return {"base", 250, 60, [](const Vector3d& offset, double yaw) {
            std::string arm = head;
            arm.replace(arm.find("[arm]\n"), 6, "[arm]\nbase = " + place(offset, yaw) + "\n");
            return arm + shop + "[rules]\nlimit_margin = 5\n" + home + pick + put;
          }};
}

/// The table with both seats moves: two places of the slot.
Movable slots() {
  return {"table", 200, 45, [](const Vector3d& offset, double yaw) {
            std::string cell = head + shop + home + pick + put;
            const std::string stated = "{ xyz = [800, 0, 250] }";
            cell.replace(cell.find(stated), stated.size(), place(Vector3d(800, 0, 250) + offset, yaw));
            return cell + body_text("beam", "world", "{ xyz = [600, -150, 620] }", "box = [60, 500, 60]");
          }};
}

void compare_spots(const Movable& cell, int spots, std::mt19937& random, int& passing, int& failing) {
  const auto scene = std::make_shared<const Scene>(scene_of(cell.text(Vector3d::Zero(), 0)));
  SurveyGrid grid;
  grid.movers.emplace_back().mover = cell.mover;
  const SpotJudge judge = judge_of(scene, grid, {});
  const auto between = [&](double half) { return std::uniform_real_distribution<double>(-half, half)(random); };
  for (int i = 0; i < spots; ++i) {
    const Placement placement{{between(cell.span_mm), between(cell.span_mm), 0}, radians(between(cell.span_deg))};
    CAPTURE(cell.mover, placement.offset.x(), placement.offset.y(), degrees(placement.yaw));
    const SpotVerdict verdict = judge(std::vector{placement});
    const Report report = proof_of(cell.text(placement.offset, degrees(placement.yaw))).report;
    REQUIRE(verdict.pass == report.pass);
    if (report.pass) {
      ++passing;
      CHECK(*verdict.cycle_time_s == Approx(report.cycle_time_s).epsilon(1e-9));
      continue;
    }
    ++failing;
    INFO(verdict.reason << " at " << verdict.step);
    CHECK_FALSE(fails_of(report, verdict.reason).empty());
  }
}

}  // namespace

TEST_CASE("a spot passes where check passes the cell with the placement written in, and fails by a check that fails") {
  std::mt19937 random(20261130);
  const int spots = std::getenv("CELLPROOF_LONG") ? 60 : 6;
  for (const Movable& cell : {posts(), grasps(), arm_base(), slots()}) {
    int passing = 0, failing = 0;
    compare_spots(cell, spots, random, passing, failing);
    CAPTURE(cell.mover, passing, failing);
    if (spots > 6) CHECK((passing > 0 && failing > 0));
  }
}

TEST_CASE("a spot that only another choice of solutions passes is no failure of the survey") {
  // Given the post where the bracket would hit it by the grasp's first turn (see the test of best choices).
  const Movable cell = grasps();
  const auto scene = std::make_shared<const Scene>(scene_of(cell.text(Vector3d(62.8, 21, 0), 0)));
  SurveyGrid grid;
  grid.movers.emplace_back().mover = "post";
  CHECK(judge_of(scene, grid, {})(std::vector{Placement{}}).pass);
}
