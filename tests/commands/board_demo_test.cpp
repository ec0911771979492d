// SPDX-License-Identifier: GPL-3.0-or-later
// The board cell as a user proves it, once for every place of its rack: as drawn its camera is blocked at every place
// and comes too close to a post at one of them; as mended it passes at all eight.
#include "tests/commands/demo_proof.hpp"

using namespace cellproof_commands;

namespace {

const fs::path demo = fs::path(CELLPROOF_SOURCE_DIR) / "models" / "board-cell";

const std::set<std::string> places = {"rack 1", "rack 2", "rack 3", "rack 4", "rack 5", "rack 6", "rack 7", "rack 8"};

std::set<std::string> runs_of(const std::vector<nlohmann::json>& entries) {
  std::set<std::string> runs;
  for (const auto& entry : entries) runs.insert(entry.at("run").get<std::string>());
  return runs;
}

void check_post_is_too_close(const Proof& proof) {
  const auto found = failures(proof, "clearance");
  REQUIRE_FALSE(found.empty());
  CHECK(runs_of(found) == std::set<std::string>{"rack 2"});
  for (const auto& finding : found) {
    INFO(finding.dump());
    CHECK(between(finding) == std::set<std::string>{"wrist camera body", "signal post"});
    CHECK(finding.at("step") == "pick the board");
    CHECK(finding.at("required") == 5);
    // derived: place 2 lies at y = -80 - 285, the camera's far side 100 + 22 further, the post's near side at -510 +
    // 20; the figure is a lower bound, within 0.1 mm of the truth
    const double gap = 510 - 20 - (80 + 285 + 100 + 22);
    CHECK(finding.at("measured") <= gap);
    CHECK(finding.at("measured") > gap - 0.1);
  }
}

void check_bracket_blocks_the_view(const Proof& proof) {
  CHECK(runs_of(failures(proof, "sightline")) == places);
  REQUIRE(proof.report.at("views").size() == places.size());
  for (const auto& view : proof.report.at("views")) {
    INFO(view.dump());
    const auto& target = view.at("targets").at(0);
    // derived: in the flange frame the camera stands at x = 0, z = 20, the bracket's edge at x = 2.4 ends at z = 105,
    // and the mark lies at z = 120 + 152 - 12 from x = -20 to 20
    const double edge = 2.4 * (120 + 152 - 12 - 20) / (105 - 20);
    CHECK(target.at("visible").get<double>() == Approx((20 + edge) / 40).margin(0.005));
    CHECK(target.at("in_frame") == 1);
    REQUIRE(target.at("blocked_by").size() == 1);
    CHECK(target.at("blocked_by")[0].at("body") == "hose bracket");
  }
}

}  // namespace

TEST_CASE("the board cell as drawn fails: the bracket in every view, the post at place 2, nothing else") {
  const Proof proof = prove(demo / "as-drawn.toml");
  CHECK(proof.status == 1);
  CHECK(proof.report.at("verdict") == "fail");
  CHECK(failing_checks(proof) == std::set<std::string>{"clearance", "sightline"});
  check_post_is_too_close(proof);
  check_bracket_blocks_the_view(proof);
}

TEST_CASE("the board cell as mended passes at all eight places, with its distances and its whole mark in view") {
  const Proof proof = prove(demo / "mended.toml");
  CHECK(proof.status == 0);
  CHECK(proof.report.at("verdict") == "pass");
  CHECK(failing_checks(proof).empty());
  CHECK(runs_of(proof.report.at("steps")) == places);
  check_moves_keep_distance(proof, 5);
  for (const auto& step : proof.report.at("steps")) {
    INFO(step.dump());
    CHECK(step.at("limit_margin_deg") >= 2);
  }
  CHECK(runs_of(proof.report.at("views")) == places);
  for (const auto& view : proof.report.at("views")) CHECK(view.at("targets").at(0).at("visible") == 1);
  CHECK(triangles_of_closed_bodies(proof) >= 20000);
}

TEST_CASE("the board cell's meshes are what make-models writes, byte for byte") {
  check_meshes_are_made_again("board-cell");
}
