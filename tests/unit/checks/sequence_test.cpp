// SPDX-License-Identifier: GPL-3.0-or-later
// Cycles that come back to where they began, and cycles that do not.
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("a cycle that comes back passes quietly, one that does not is cautioned with what is left") {
  const std::string away = head + body_text("door", "world", "{ xyz = [0, 2000, 0] }", "box = [10, 10, 10]") +
                           cycle_from("0, 0, 0, 0, -90, 0") + joint_move("10, 0, 0, 0, -90, 0") +
                           "[[step]]\nshift = \"door\"\nto = { xyz = [0, 2100, 0] }\ntime = \"1 s\"\n";
  const auto left = findings_of(proof_of(away).report, "sequence");
  REQUIRE(left.size() == 1);
  CHECK(left[0].severity == Severity::caution);
  CHECK(left[0].message.find("10.00 deg") != std::string::npos);
  CHECK(left[0].message.find("'door'") != std::string::npos);
  const auto back = findings_of(proof_of(away + joint_move("0, 0, 0, 0, -90, 0") +
                                         "[[step]]\nshift = \"door\"\nto = { xyz = [0, 2000, 0] }\ntime = \"1 s\"\n")
                                    .report,
                                "sequence");
  CHECK(back.empty());
}

TEST_CASE("the seat of the run may end empty, other seats of the grid may not fill") {
  const std::string rack = head + R"(
[[seat]]
name = "rack"
at = { xyz = [1500, 0, 0] }
grid = { columns = 3, rows = 1, pitch = [150, 200] }
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "@slot"
[cycle]
start = [0, 0, 0, 0, -90, 0]
each = { "@slot" = ["rack 1", "rack 2"] }
others = ["none"]
[[step]]
remove = "brick"
)";
  CHECK(findings_of(proof_of(rack).report, "sequence").empty());
  const auto moved =
      findings_of(proof_of(rack + "[[step]]\nbring = \"brick\"\nseat = \"rack 2\"\n").report, "sequence");
  REQUIRE(moved.size() == 1);  // in the run of rack 2 it is back in its own seat
  CHECK(moved[0].run == "rack 1");
}
