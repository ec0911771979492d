// SPDX-License-Identifier: GPL-3.0-or-later
// Poses that the arm does not get to.
#include <algorithm>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("what can't be reached is a finding of reach that names its step") {
  const std::string hand = "[[tcp]]\nname = \"hand\"\non = \"flange\"\n";
  const std::string go =
      cycle_from("0, 0, 0, 0, -90, 0") +
      "[[step]]\nname = \"go\"\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [X, 0, 700], turn "
      "= [180, 0, 0] } }\n" +
      joint_move("0, 0, 0, 0, -90, 0");
  std::string far = head + hand + go;
  far.replace(far.find('X'), 1, "3000");
  const Report report = proof_of(far).report;
  const auto reach = findings_of(report, "reach");
  REQUIRE(reach.size() == 1);
  CHECK_FALSE(report.pass);
  CHECK(reach[0].step == "go");
  CHECK(reach[0].judged->measured > 1000);
  CHECK_FALSE(reach[0].mend.empty());
  CHECK(std::any_of(report.not_computed.begin(), report.not_computed.end(),
                    [](const std::string& what) { return what.find("'go'") != std::string::npos; }));

  // The same arm with a wrist whose axes do not meet has no closed form, and takes the nearer pose all the same.
  std::string skew = head + hand + go;
  const std::string row = "{ a = 0,   alpha = 90,  d = 0,   theta = 0,  min = -125";
  skew.replace(skew.find(row), row.size(), "{ a = 35,   alpha = 80,  d = 27,   theta = 0,  min = -125");
  skew.replace(skew.find('X'), 1, "700");
  CHECK(findings_of(proof_of(skew).report, "reach").empty());
}
