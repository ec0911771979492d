// SPDX-License-Identifier: GPL-3.0-or-later
// Near singular poses: harmless in a joint move, a failure of a line that has to race.
#include "tests/support/bar_past_wall.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("a wrist drawn straight on the way is a caution of its own, and fails nothing") {
  const Report report = proof_of(head + cycle_from("0, 0, 0, 0, 40, 0") + joint_move("0, 0, 0, 0, -40, 0") +
                                 joint_move("0, 0, 0, 0, 40, 0"))
                            .report;
  const auto found = findings_of(report, "singularity");
  REQUIRE(found.size() == 2);
  CHECK(found[0].severity == Severity::caution);
  CHECK(found[0].judged->measured < 1e-6);
  CHECK(found[0].judged->required.value() == 0.02);
  CHECK(report.pass);
  CHECK(report.steps[0].manipulability < 1e-6);
  CHECK(*found[0].time_s == Approx(report.steps[0].end_s / 2).margin(1e-3));
}

TEST_CASE("a line beside a singular pose that the joints can't follow at speed fails") {
  // Given the wrist led past its straight pose at a small distance: joints 4 and 6 would have to race.
  const auto led = [](double beside) {
    return narrow_head(false) + "[[tcp]]\nname = \"hand\"\non = \"flange\"\n" + cycle_from("0, 0, 0, 0, 30, 0") +
           fmt::format(R"([[step]]
move = "joint"
to = {{ tcp = "hand", at = {{ xyz = [890, {0}, 1070], turn = [0, 90, 0] }} }}
[[step]]
name = "past"
move = "linear"
tool_speed = "1 m/s"
to = {{ tcp = "hand", at = {{ xyz = [890, {0}, 1270], turn = [0, 90, 0] }} }}
)",
                       beside);
  };
  const Report report = proof_of(led(3)).report;
  const auto speed = findings_of(report, "speed");
  REQUIRE(speed.size() == 1);
  CHECK(speed[0].severity == Severity::fail);
  CHECK(speed[0].step == "past");
  // 200 mm are too short for 1 m/s at 1 m/s²: at the middle it would run at the root of 200 mm * 1000 mm/s².
  CHECK(speed[0].judged->required.value() == Approx(std::sqrt(200.0 * 1000)));
  CHECK(speed[0].judged->measured < 300);
  CHECK_FALSE(report.pass);
}
