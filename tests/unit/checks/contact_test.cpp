// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A brick sunk into its table is picked by a pad that presses into the brick.
std::string picking(double sunk, double pressed, const std::string& rules = "") {
  return head + body_text("palm", "flange", "{ xyz = [0, 0, 20] }", "box = [60, 60, 40]") +
         body_text("pad", "flange", fmt::format("{{ xyz = [0, 0, {}] }}", 70 + pressed), "box = [30, 30, 60]") +
         shop_table + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
touch = ["pad"]
[[seat]]
name = "left"
on = "table"
at = { xyz = [-100, 250, 50] }
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "left"
)" + fmt::format("at = {{ xyz = [0, 0, {}] }}\n", 20 - sunk) +
         R"(grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
)" + rules +
         R"(
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
name = "take"
pick = "brick"
tcp = "hand"
grasp = "top"
approach = 100
retreat = 100
[[step]]
move = "joint"
to = { joints = [0, 0, 0, 0, -90, 0] }
)";
}

/// What is said of two bodies that cut.
std::vector<Finding> cuts_of(const std::string& text, const std::vector<std::string>& between) {
  auto found = findings_of(proof_of(text).report, "clearance");
  found.erase(std::remove_if(found.begin(), found.end(),
                             [&](const Finding& finding) {
                               return !std::is_permutation(between.begin(), between.end(), finding.between.begin(),
                                                           finding.between.end());
                             }),
              found.end());
  return found;
}

}  // namespace

TEST_CASE("a part may be drawn into its table by contact_depth and no deeper") {
  for (const double sunk : {0.0, 0.3}) {
    CAPTURE(sunk);
    CHECK(cuts_of(picking(sunk, 0), {"brick", "table"}).empty());
  }
  const auto deep = cuts_of(picking(0.8, 0), {"brick", "table"});
  REQUIRE(deep.size() == 1);
  CHECK(deep[0].severity == Severity::fail);
  CHECK(deep[0].step == "take");
  CHECK(deep[0].judged->measured == Approx(0.8).epsilon(0.05));
  CHECK(deep[0].judged->required.value() == 0.5);
  CHECK(cuts_of(picking(0.8, 0, "[rules]\ncontact_depth = 1\n"), {"brick", "table"}).empty());
}

TEST_CASE("a tool may press into the part by contact_depth and no deeper") {
  CHECK(cuts_of(picking(0, 0.3), {"brick", "pad"}).empty());
  const auto deep = cuts_of(picking(0, 2), {"brick", "pad"});
  REQUIRE(deep.size() == 1);
  CHECK(deep[0].severity == Severity::fail);
  CHECK(deep[0].judged->measured == Approx(2).epsilon(0.05));
}

TEST_CASE("what a contact frees may cut as the drawing has it, with a caution where contact can't explain it") {
  const std::string freed = "[[contact]]\nbetween = [\"brick\", \"table\"]\n";
  CHECK(cuts_of(picking(0.3, 0, freed), {"brick", "table"}).empty());
  const auto deep = cuts_of(picking(0.8, 0, freed), {"brick", "table"});
  REQUIRE(deep.size() == 1);
  CHECK(deep[0].severity == Severity::caution);
  CHECK(deep[0].judged->measured == Approx(0.8).epsilon(0.05));
}
