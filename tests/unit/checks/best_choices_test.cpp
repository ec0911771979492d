// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/best_choices.hpp"

#include <algorithm>
#include <random>

#include "kinematics/inverse/inverse.hpp"
#include "tests/support/planned_cell.hpp"
#include "tests/support/proof.hpp"
#include "tests/support/slim_arm.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::string joints_text(const Joints& values) {
  std::string text;
  for (int j = 0; j < 6; ++j) text += fmt::format("{}{:.17g}", j ? ", " : "", degrees(values[j]));
  return text;
}

/// Empty if it passes.
std::string first_step_that_fails(const Report& report) {
  return report.pass ? "" : report.findings.front().step;
}

std::vector<Joints> all_ways_to_stand(const Scene& scene, const Vector3d& place, double yaw) {
  const Arm& arm = scene.cell.arm.arm;
  const Pose hand = Eigen::Translation3d(place) * Eigen::AngleAxisd(radians(yaw), Vector3d::UnitZ()) *
                    Eigen::AngleAxisd(pi, Vector3d::UnitX()) * Pose(Eigen::Translation3d(0, 0, -100));
  std::vector<Joints> all;
  const auto solutions = inverse(arm, hand);
  if (!solutions) return all;
  for (const auto& solution : solutions->all)
    for (const auto& joints : whole_turns(arm, solution.values)) all.push_back(joints);
  return all;
}

}  // namespace

TEST_CASE("if trying every choice by hand finds one that passes, so does the plan, and none that passes is quicker") {
  // Given two poses among posts; the oracle proves each choice as joint values, where nothing is left to choose.
  std::mt19937 random(20261126);
  const auto between = [&](double low, double high) {
    return std::round(std::uniform_real_distribution<double>(low, high)(random));
  };
  int passing = 0, hopeless = 0;
  for (int round = 0; round < 8; ++round) {
    CAPTURE(round);
    std::vector<Vector3d> posts;
    for (int i = 0; i < 4; ++i) posts.emplace_back(between(250, 900), between(-500, 500), between(500, 1400));
    const std::string arm = slim_arm() + posts_at(posts) + cycle_from("0, -60, 60, 0, -90, 0");
    const Vector3d places[] = {{between(450, 900), between(100, 600), between(200, 800)},
                               {between(450, 900), between(-600, -100), between(200, 800)}};
    const double yaws[] = {between(-170, 170), between(-170, 170)};
    const Scene scene = scene_of(arm);
    double least_s = std::numeric_limits<double>::infinity();
    std::string furthest;  // the names of the two steps are in the order of the alphabet
    for (const auto& first : all_ways_to_stand(scene, places[0], yaws[0]))
      for (const auto& second : all_ways_to_stand(scene, places[1], yaws[1])) {
        const Report tried = proof_of(arm + joint_move(joints_text(first)) + joint_move(joints_text(second))).report;
        if (tried.pass) least_s = std::min(least_s, tried.cycle_time_s);
        furthest = std::max(furthest, first_step_that_fails(tried));
      }
    const std::string cell = arm + pose_move(places[0], yaws[0]) + pose_move(places[1], yaws[1]);
    const Report report = proof_of(cell).report;
    CHECK(report.pass == std::isfinite(least_s));
    (report.pass ? passing : hopeless) += 1;
    // What is told of a cell that fails is what its best choice comes to.
    if (!report.pass && !furthest.empty()) CHECK(first_step_that_fails(report) == furthest);
    // The simple choice stays where it passes: only a plan made anew is the quickest of all.
    if (report.pass) CHECK(report.cycle_time_s >= least_s - 1e-6);
    const Report again = proof_of(cell, 2).report;
    REQUIRE(again.steps.size() == report.steps.size());
    for (std::size_t i = 0; i < report.steps.size(); ++i)
      CHECK(again.steps[i].joints_end == report.steps[i].joints_end);
  }
  CHECK(passing > 0);
  CHECK(hopeless > 0);
}

TEST_CASE("a grasp turn whose bracket would hit a post is passed over for one that clears it") {
  // Given a bracket 90 to 150 mm to the hand's +x, 15 to 35 mm above its tip. The brick lies at (700, 250), turned by
  // 20 deg, its top at z 340: held by the grasp's first turn, the bracket's middle stands at (700, 250) + 120 mm along
  // 20 deg = (812.8, 291.0), where the post is; held by the second, on the other side.
  const std::string cell =
      head + shop +
      body_text("bracket", "flange", "{ xyz = [103.9, 60, 75], turn = [0, 0, 30] }", "box = [60, 20, 20]") + home +
      pick;
  const std::string post = body_text("post", "world", "{ xyz = [812.8, 291.0, 350] }", "box = [20, 20, 100]");
  const auto grip_of = [](const Cycle& cycle) {
    for (const auto& stretch : cycle.runs.front().stretches)
      if (stretch.kind == StretchKind::grip) return stretch;
    throw std::logic_error("no grip");
  };
  const Proof open = proved(cell), beside = proved(cell + post);
  CHECK(open.report.pass);
  CHECK(grip_of(*open.cycle).grasp_turn.value() == Approx(0));
  CHECK(beside.report.pass);
  CHECK(grip_of(*beside.cycle).grasp_turn.value() == Approx(pi));
  // Then whoever asks for the cycle alone gets the one that was proved.
  Run alone;
  alone.threads = 1;
  const Cycle again = with_best_choices(*beside.scene, alone, plan_cycle(*beside.scene));
  CHECK(grip_of(again).motion.path.end() == grip_of(*beside.cycle).motion.path.end());
  CHECK(again.runs.front().duration_s == beside.cycle->runs.front().duration_s);
}

TEST_CASE("where no choice passes, the step and the reason of each are told") {
  // Given a tilted pose, taken with the wrist one way or the other, and a post in the palm's place whatever the arm
  // does: 60 mm before the hand's tip, along Rz(20) Rx(160) z = (0.117, -0.321, -0.940).
  const Report report =
      proof_of(slim_arm() + posts_at({{693, 319, 556}}) + cycle_from("0, -60, 60, 0, -90, 0") +
               "[[step]]\nname = \"into the post\"\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [700, "
               "300, 500], turn = [160, 0, 20] } }\n")
          .report;
  CHECK_FALSE(report.pass);
  const auto told = std::find_if(report.findings.begin(), report.findings.end(), [](const Finding& finding) {
    return finding.message.find("no joint solution") != std::string::npos;
  });
  REQUIRE(told != report.findings.end());
  CHECK(told->severity == Severity::caution);
  INFO(told->message);
  CHECK(told->message.find("at \"into the post\"") != std::string::npos);
  CHECK(told->message.find("'post 0'") != std::string::npos);
  CHECK(told->message.find("elbow") != std::string::npos);
}
