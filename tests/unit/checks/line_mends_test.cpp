// SPDX-License-Identifier: GPL-3.0-or-later
// Where a line can't be run: other ways that were tried, written back and proved.
#include "checks/line_mends.hpp"

#include "scene/cycle/plan.hpp"
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A brick lies far out on the table: straight up from it the arm is at its end.
std::string far_brick(const std::string& approach, const std::string& retreat) {
  return head + body_text("table", "world", "{ xyz = [1000, 0, 150] }", "box = [1000, 1200, 100]") + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
suction = ["cup"]
[[suction]]
name = "cup"
on = "flange"
at = { xyz = [0, 0, 100] }
circle = 20
vacuum = "60 kPa"
[[seat]]
name = "spot"
on = "table"
at = { xyz = [270, 0, 50] }
[[part]]
name = "brick"
box = [40, 40, 40]
seat = "spot"
at = { xyz = [0, 0, 20] }
mass = 0.1
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
)" + cycle_from("0, 0, 0, 0, -90, 0") +
         "[[step]]\npick = \"brick\"\nname = \"take\"\ntcp = \"hand\"\ngrasp = \"top\"\napproach = " + approach +
         "\nretreat = " + retreat + "\n";
}

}  // namespace

TEST_CASE("a retreat that leaves the reach is mended by one that is tilted towards the arm") {
  const Report report = proof_of(far_brick("100", "600")).report;
  const auto found = fails_of(report, "reach");
  REQUIRE(found.size() == 1);
  INFO(found[0].message << " | " << found[0].mend);
  // The seat's -x points to the arm.
  REQUIRE(found[0].mend.find("towards the seat's -x") != std::string::npos);
  const std::size_t at = found[0].mend.find("approach = ", found[0].mend.find("towards the seat's -x")) + 11;
  const std::size_t then = found[0].mend.find(", retreat = ", at);
  const std::string approach = found[0].mend.substr(at, then - at);
  const std::string retreat = found[0].mend.substr(then + 12, found[0].mend.find(']', then) + 1 - (then + 12));
  CHECK(findings_of(proof_of(far_brick(approach, retreat)).report, "reach").empty());
}

TEST_CASE("where nothing that is tried helps, that is said") {
  const Report report = proof_of(far_brick("100", "3000")).report;
  const auto found = fails_of(report, "reach");
  REQUIRE(found.size() == 1);
  CHECK(found[0].mend.find("19 other turns and directions were tried") != std::string::npos);
}

TEST_CASE("steps without a way in, and runs that end for another reason, have none") {
  const Scene scene = scene_of(far_brick("100", "600"));
  Cycle cycle = plan_cycle(scene);
  REQUIRE(cycle.runs.front().failure);
  cycle.runs.front().failure->why = PlanFailure::Why::wrong_state;
  CHECK(line_mends(scene, cycle, StepId(0), {}).empty());
}
