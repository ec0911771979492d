// SPDX-License-Identifier: GPL-3.0-or-later
// What a camera sees of its target.
#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("a camera's target is seen, hidden, out of range, and the verdicts say which") {
  const auto look = [](const std::string& more, double z) {
    return head +
           fmt::format(R"(
[[camera]]
name = "eye"
on = "world"
at = {{ xyz = [2000, 0, 0] }}
resolution = [320, 240]
view_angle = 60
range = [50, 900]
[[target]]
name = "mark"
on = "world"
at = {{ xyz = [2000, 0, {}], turn = [180, 0, 0] }}
size = [40, 40]
)",
                       z) +
           more + cycle_from("0, 0, 0, 0, -90, 0") + "[[step]]\nlook = \"eye\"\ntargets = [\"mark\"]\n";
  };
  CHECK(proof_of(look("", 400)).report.pass);
  const auto far = findings_of(proof_of(look("", 950)).report, "sightline");
  REQUIRE(far.size() == 1);
  CHECK(far[0].message.find("range") != std::string::npos);
  const auto hidden = findings_of(
      proof_of(look(body_text("flap", "world", "{ xyz = [2030, 0, 200] }", "box = [60, 60, 2]"), 400)).report,
      "sightline");
  // The flap's edge stands at x = 2000 over half the target, seen from the camera: half is hidden.
  REQUIRE(hidden.size() == 1);
  CHECK(hidden[0].severity == Severity::fail);
  CHECK(hidden[0].judged->measured == Approx(0.5).margin(0.01));
  CHECK(hidden[0].message.find("'flap'") != std::string::npos);
}

TEST_CASE("a body beside the lens that the centre looks past is a caution of its own") {
  const std::string cell = head + R"(
[[camera]]
name = "eye"
on = "world"
at = { xyz = [2000, 0, 0] }
resolution = [320, 240]
view_angle = 60
range = [50, 900]
lens_radius = 10
[[target]]
name = "mark"
on = "world"
at = { xyz = [2000, 0, 400], turn = [180, 0, 0] }
size = [2, 2]
)" + body_text("lamp", "world", "{ xyz = [2053.75, 0, 100.5] }", "box = [100, 200, 1]") +
                           cycle_from("0, 0, 0, 0, -90, 0") + "[[step]]\nlook = \"eye\"\ntargets = [\"mark\"]\n";
  // A third of the rim's ways pass where the lamp stands (tests/unit/scene/sight/lens_rim_test.cpp).
  const auto proof = proof_of(cell);
  CHECK(proof.report.pass);
  const auto found = findings_of(proof.report, "sightline");
  REQUIRE(found.size() == 1);
  CHECK(found[0].severity == Severity::caution);
  CHECK(found[0].judged->measured == Approx(1.0 / 3).margin(1.5 / 32));
  CHECK(found[0].message.find("'lamp'") != std::string::npos);
}
