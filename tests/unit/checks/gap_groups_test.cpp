// SPDX-License-Identifier: GPL-3.0-or-later
// Gaps to what stands about the arm beside those among its own, and pairs that hardly change.
#include "checks/gap_groups.hpp"

#include <algorithm>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;
using Catch::Matchers::Contains;

namespace {

/// A wrist that ends 60 mm before its centre, and a plate bolted to the flange, from `gap` mm beyond: the wrist's axis
/// is the plate's, so that no joint changes what is between them. The flange lies 100 mm from the wrist's centre.
std::string plate_beside_wrist(double gap) {
  return head + body_text("wrist", "link5", "{ xyz = [0, 0, 30] }", "cylinder = { radius = 40, height = 60 }") +
         body_text("plate", "flange", fmt::format("{{ xyz = [0, 0, {:.12g}] }}", 60 + gap + 5 - 100),
                   "cylinder = { radius = 45, height = 10 }") +
         body_text("elbow", "link3", "{ xyz = [0, 0, 200] }", "box = [80, 80, 300]") +
         body_text("wall", "world", "{ xyz = [1000, 0, 1070] }", "box = [100, 400, 400]") +
         cycle_from("0, 0, 0, 0, -90, 0") + joint_move("40, 0, 0, 0, -90, 100") + joint_move("0, 0, 0, 30, -60, 0") +
         joint_move("0, 0, 0, 0, -90, 0");
}

const std::string stated = "[[clearance]]\nbetween = [\"plate\", \"wrist\"]\nleast = \"2.9 mm\"\n";

}  // namespace

TEST_CASE("a plate that stands back from the wrist all through the cycle is told once, with the words that state it") {
  const Report report = proof_of(plate_beside_wrist(3)).report;
  const auto fails = fails_of(report, "clearance");
  REQUIRE(fails.size() == 1);
  CHECK_THAT(fails.front().mend, Contains("[[clearance]] between = [\"wrist\", \"plate\"], least = \"2.9 mm\"") ||
                                     Contains("[[clearance]] between = [\"plate\", \"wrist\"], least = \"2.9 mm\""));
  REQUIRE(report.steady.size() == 1);
  CHECK(report.steady.front().lower_mm == Approx(3).margin(0.11));
  CHECK(report.steady.front().upper_mm >= report.steady.front().lower_mm);
  CHECK(report.steady.front().asked_mm == 5);
}

TEST_CASE("what is stated passes, and each step tells its gap to the wall and none of the plate's") {
  const Report report = proof_of(plate_beside_wrist(3) + stated).report;
  CHECK(report.pass);
  CHECK(report.steady.size() == 1);
  for (const StepFigure& step : report.steps) {
    CAPTURE(step.name, step.start_s);
    REQUIRE(step.to_surroundings);
    CHECK(std::ranges::count(step.to_surroundings->between, "wall") == 1);
    REQUIRE(step.clearance);
    CHECK(step.clearance->lower_mm <= step.to_surroundings->lower_mm);  // of all pairs: the plate's
    CHECK(step.clearance->upper_mm == Approx(3).margin(0.11));
    REQUIRE(step.among_own);  // the next: elbow and plate
    CHECK(step.among_own->between != step.clearance->between);
    CHECK(step.among_own->lower_mm > 3.5);
  }
  // derived: at joint 5 = -90 the plate's rim is 790 + 45 mm from base z, the wall begins at 950
  CHECK(report.steps.back().to_surroundings->upper_mm <= 115 + 0.1);
}

TEST_CASE("a pair whose distance changes is not steady, touching bodies are told to be named in a contact") {
  // Given a plate that is drawn 1 mm into the wrist. The elbow.s gap to it changes with joint 5 and is in the steps.
  // another along the axis. The elbow's gap to the plate changes with joint 5 and is in the steps.
  const Report touching = proof_of(plate_beside_wrist(-1)).report;
  const auto fails = fails_of(touching, "clearance");
  REQUIRE(fails.size() == 1);
  CHECK_THAT(fails.front().mend, Contains("[[contact]]"));
  for (const SteadyFigure& pair : touching.steady) CHECK(std::ranges::count(pair.between, "elbow") == 0);
}
