// SPDX-License-Identifier: GPL-3.0-or-later
// What is where, and when: fingers, machine, doors, and the runs of a grid.
#include <catch2/catch.hpp>

#include "kinematics/inverse/inverse.hpp"
#include "tests/support/planned_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("fingers are open while the jaw holds nothing, and close in the grip") {
  const std::string jawed =
      body_text("left finger", "flange", "{ xyz = [-25, 0, 60], turn = [0, 0, 90] }", "box = [10, 10, 80]") +
      shop_table + jaws_with("left finger") + R"(grip_time = "0.5 s"
[[seat]]
name = "left"
on = "table"
at = { xyz = [-100, 250, 50] }
[[part]]
name = "brick"
box = [40, 50, 40]
seat = "left"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 10], turn = [180, 0, 0] } } ]
)";
  const Planned planned(head + jawed + home + pick +
                        "[[step]]\nname = \"back\"\nplace = \"brick\"\nseat = \"left\"\nat = { xyz = [0, 0, 20] "
                        "}\napproach = 50\nretreat = 50\n");
  const auto finger_x = [&](const Stretch& stretch, double time) {
    const auto poses = world_poses(planned.scene, arrangement_at(stretch, time), joints_at(stretch, time));
    const auto pose = [&](const char* name) { return poses[planned.scene.frame_named(name)]; };
    return (pose("flange").inverse() * pose("left finger")).translation().x();
  };
  const auto& stretches = planned.whole().stretches;
  CHECK(finger_x(stretches[0], stretches[0].start_s) == Approx(-33));
  CHECK(finger_x(stretches[1], stretches[1].end_s) == Approx(-33));
  const Stretch& grip = stretches[2];
  REQUIRE(grip.kind == StretchKind::grip);
  CHECK(grip.end_s - grip.start_s == Approx(0.5));
  CHECK(finger_x(grip, grip.start_s) == Approx(-33));
  CHECK(finger_x(grip, 0.5 * (grip.start_s + grip.end_s)) == Approx(-29));
  CHECK(finger_x(grip, grip.end_s) == Approx(-25));
  CHECK(finger_x(stretches[3], stretches[3].start_s) == Approx(-25));
  CHECK(finger_x(stretches.back(), stretches.back().end_s) == Approx(-33));
}

TEST_CASE("machine, bring, remove and shift change what is where, and take the time they say") {
  const std::string more =
      "[[part]]\nname = \"done\"\nbox = [70, 40, 30]\ngrasps = [ { name = \"done top\", at = { turn = [180, 0, 0] } } "
      "]\n" +
      body_text("door", "world", "{ xyz = [0, 2000, 0] }", "box = [10, 500, 900]");
  const Planned planned(head + shop + more + home + R"(
[[step]]
machine = "brick"
into = "done"
time = "4 min"
[[step]]
remove = "done"
[[step]]
bring = "brick"
seat = "right"
at = { xyz = [5, 0, 20] }
[[step]]
shift = "door"
to = { xyz = [0, 2600, 0], turn = [0, 0, 90] }
time = "3 s"
[[step]]
wait = "0.5 s"
)");
  const auto& run = planned.whole();
  CHECK(run.duration_s == Approx(240 + 3 + 0.5));
  const auto there = [&](std::size_t i, const char* name) {
    return run.stretches.at(i).arrangement->present[body_named(planned.scene, name)] != 0;
  };
  CHECK(there(0, "brick"));
  CHECK_FALSE(there(0, "done"));
  CHECK_FALSE(there(1, "brick"));
  CHECK(there(1, "done"));
  CHECK_FALSE(there(2, "done"));
  CHECK(there(3, "brick"));
  const Pose left = planned.frame_at_end(run.stretches[1], "left");
  CHECK(apart(planned.frame_at_end(run.stretches[1], "done"), left * Pose(Eigen::Translation3d(0, 0, 20))) < 1e-12);
  CHECK((planned.frame_at_end(run.stretches[3], "brick").translation() - Vector3d(705, -250, 320)).norm() < 1e-9);
  // Half way the door stands between and is turned by 45 deg.
  const Stretch& shift = run.stretches[3];
  const double half = 0.5 * (shift.start_s + shift.end_s);
  const auto poses = world_poses(planned.scene, arrangement_at(shift, half), joints_at(shift, half));
  const Pose door = poses[planned.scene.frame_named("door")];
  CHECK((door.translation() - Vector3d(0, 2300, 0)).norm() < 1e-9);
  CHECK(std::atan2(door.linear()(1, 0), door.linear()(0, 0)) == Approx(pi / 4));
  CHECK((planned.frame_at_end(run.stretches[4], "door").translation() - Vector3d(0, 2600, 0)).norm() < 1e-12);
}

TEST_CASE("every seat of a grid has its run, and every entry of others, each from time zero") {
  const std::string rack = shop_table + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
[[seat]]
name = "rack"
on = "table"
at = { xyz = [-150, -100, 50] }
grid = { columns = 2, rows = 2, pitch = [150, 200] }
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "@slot"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
[[part]]
name = "done"
box = [60, 50, 40]
)";
  const std::string cycle = "[cycle]\nstart = [0, 0, 0, 0, -90, 0]\neach = { \"@slot\" = \"rack\" }\n";
  const Planned by_default(head + rack + cycle + pick);
  REQUIRE(by_default.cycle.runs.size() == 4);
  for (std::size_t r = 0; r < 4; ++r) {
    CAPTURE(r);
    const auto& run = by_default.run(r);
    CHECK(run.name == "rack " + std::to_string(r + 1));
    REQUIRE_FALSE(run.failure);
    CHECK(run.stretches.front().start_s == 0);
    const Vector3d seat(650 + 150.0 * static_cast<double>(r % 2), -100 + 200.0 * static_cast<double>(r / 2), 340);
    CHECK((by_default.frame_at_end(run.stretches[1], "hand").translation() - seat).norm() < 1e-6);
    int copies = 0;
    for (const BodyId b : ids_of(by_default.scene.bodies)) {
      const SceneBody& body = by_default.scene.bodies[b];
      if (!body.copy_of_seat || !run.stretches.front().arrangement->present[b]) continue;
      ++copies;
      CHECK(body.name.rfind("brick @ rack ", 0) == 0);
      CHECK(body.name != "brick @ " + run.name);
    }
    CHECK(copies == 3);
  }
  const Planned filled(head + rack + cycle + "others = [\"none\", \"done\"]\n" + pick);
  REQUIRE(filled.cycle.runs.size() == 8);
  const auto count = [&](std::size_t r) {
    int copies = 0;
    for (const BodyId b : ids_of(filled.scene.bodies))
      if (filled.scene.bodies[b].copy_of_seat && filled.run(r).stretches.front().arrangement->present[b]) ++copies;
    return copies;
  };
  CHECK(count(0) == 0);
  CHECK(count(1) == 3);
  // A seat that the file fills itself gets no copy on top.
  const std::string gauge = "[[part]]\nname = \"gauge\"\nbox = [9, 9, 9]\nseat = \"rack 3\"\n";
  const Planned full(head + rack + gauge + cycle + pick);
  const BodyId copy = body_named(full.scene, "brick @ rack 3");
  CHECK(full.run(0).stretches.front().arrangement->present[copy] == 0);
}
