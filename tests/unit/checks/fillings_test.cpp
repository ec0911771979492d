// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/fillings.hpp"

#include <catch2/catch.hpp>

#include "tests/support/planned_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

CycleRun run_to(const std::string& joints, const char* name, const char* others) {
  CycleRun run = Planned(head + home + joint_move("10, 0, 0, 0, -90, 0") + joint_move(joints)).whole();
  run.name = name;
  run.others = others;
  return run;
}

}  // namespace

TEST_CASE("joint values that differ between fillings of the other seats are a caution for that seat, once") {
  const Cycle cycle{{run_to("20, 0, 0, 0, -90, 0", "slot 1", "none"), run_to("30, 0, 0, 0, -90, 0", "slot 1", "block"),
                     run_to("40, 0, 0, 0, -90, 0", "slot 1", "tall block")}};
  const auto findings = filling_findings(cycle);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].severity == Severity::caution);
  CHECK(findings[0].run == "slot 1");
  CHECK(findings[0].others == "block");
  CHECK(findings[0].message.find("than with 'none' in the other seats") != std::string::npos);
  CHECK(*findings[0].time_s == Approx(cycle.runs[1].stretches.back().end_s));
}

TEST_CASE("seats differ from each other as they like, and fillings with the same joint values are no caution") {
  const Cycle cycle{{run_to("20, 0, 0, 0, -90, 0", "slot 1", "none"), run_to("20, 0, 0, 0, -90, 0", "slot 1", "block"),
                     run_to("30, 0, 0, 0, -90, 0", "slot 2", "none"),
                     run_to("30, 0, 0, 0, -90, 0", "slot 2", "block")}};
  CHECK(filling_findings(cycle).empty());
}
