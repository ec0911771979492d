// SPDX-License-Identifier: GPL-3.0-or-later
// The bar cell as a user proves it: as drawn the fingers close on air and the done bar is let go past the chute's edge;
// as mended it passes at every place of the drawer.
#include "tests/commands/demo_proof.hpp"

using namespace cellproof_commands;

namespace {

const fs::path demo = fs::path(CELLPROOF_SOURCE_DIR) / "models" / "bar-cell";

}  // namespace

TEST_CASE("the bar cell as drawn fails by empty jaws and by a bar past an edge, and by nothing else") {
  const Proof proof = prove(demo / "as-drawn.toml");
  CHECK(proof.status == 1);
  CHECK(failing_checks(proof) == std::set<std::string>{"grip", "release"});
  // derived: pads 40 apart on a bar of 32 leave 4 of air on each side
  const auto empty = failures(proof, "grip");
  REQUIRE_FALSE(empty.empty());
  CHECK(empty[0].at("message").get<std::string>().find("4.00 mm") != std::string::npos);
  // derived: the bar's middle stands 6 outside the lip
  const auto fallen = failures(proof, "release");
  REQUIRE_FALSE(fallen.empty());
  for (const auto& finding : fallen) {
    CHECK(finding.at("step") == "let go into the chute");
    CHECK(finding.at("measured").get<double>() == Approx(-6).margin(0.1));
  }
}

TEST_CASE("the bar cell as mended passes at every place, its jaws closed on bars of 32 and of 28") {
  const Proof proof = prove(demo / "mended.toml");
  CHECK(proof.status == 0);
  CHECK(proof.report.at("verdict") == "pass");
  std::set<std::string> places;
  for (const auto& step : proof.report.at("steps")) places.insert(step.at("run").get<std::string>());
  CHECK(places.size() == 6);
  REQUIRE_FALSE(proof.report.at("grips").empty());
  // the least pad meets the half bar from above: 32 wide, from 19 to 37 of its height
  for (const auto& grip : proof.report.at("grips")) CHECK(grip.at("pad_contact_mm2").get<double>() > 300);
}

TEST_CASE("the bar cell's meshes are what make-models writes, byte for byte") {
  check_meshes_are_made_again("bar-cell");
}
