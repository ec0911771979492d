// SPDX-License-Identifier: GPL-3.0-or-later
// The entries of a plan, the poses at their ends and the time they take.
#include "scene/cycle/plan.hpp"

#include <catch2/catch.hpp>

#include "tests/support/planned_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("a cycle without steps has one run without stretches") {
  const Planned planned(head + home);
  REQUIRE(planned.cycle.runs.size() == 1);
  CHECK(planned.run().stretches.empty());
  CHECK_FALSE(planned.run().failure);
  CHECK(planned.run().duration_s == 0);
}

TEST_CASE("pick and place give their entries in running order, those of zero length as well") {
  const Planned planned(head + shop + home + pick + put);
  CHECK(kinds(planned.whole()) == std::vector<std::string>{"take: joint", "take: linear", "take: grip", "take: linear",
                                                           "take: linear", "put: joint", "put: linear", "put: linear",
                                                           "put: linear", "put: release", "put: linear"});

  const Planned bare(head + shop + home + R"([[step]]
name = "take"
pick = "brick"
tcp = "hand"
grasp = "top"
)");
  CHECK(kinds(bare.whole()) == std::vector<std::string>{"take: joint", "take: linear", "take: grip", "take: linear"});
  CHECK(bare.whole().stretches[1].end_s == bare.whole().stretches[1].start_s);
}

TEST_CASE("between grip and release the part rides on the tcp, the grasp held exactly, else on its seat") {
  const Planned planned(head + shop + home + pick + put);
  const auto& stretches = planned.whole().stretches;
  const Pose grasp_in_part = Pose(Eigen::Translation3d(0, 0, 20)) * Eigen::AngleAxisd(pi, Vector3d::UnitX());
  for (std::size_t i = 0; i < stretches.size(); ++i) {
    CAPTURE(i);
    const bool held = i >= 3 && i <= 9;  // from after the grip to the release
    CHECK(stretches[i].held_part == (held ? PartId(0) : PartId{}));
    const Pose brick = planned.frame_at_end(stretches[i], "brick"), hand = planned.frame_at_end(stretches[i], "hand");
    if (held) CHECK(apart(hand, brick * grasp_in_part) < 1e-9);
  }
  const Pose lift(Eigen::Translation3d(0, 0, 20));
  CHECK(apart(planned.frame_at_end(stretches[1], "hand"),
              planned.frame_at_end(stretches[1], "left") * lift * grasp_in_part) < 1e-6);
  CHECK(apart(planned.frame_at_end(stretches[2], "brick"), planned.frame_at_end(stretches[2], "left") * lift) < 1e-9);
  CHECK(apart(planned.frame_at_end(stretches.back(), "brick"), planned.frame_at_end(stretches.back(), "right") * lift) <
        1e-9);
  // What is handed over does not jump: in the hand at the release's start it lies as it will in the seat.
  CHECK(apart(planned.frame_at_end(stretches[8], "brick"), planned.frame_at_end(stretches[10], "brick")) < 1e-5);
}

TEST_CASE("approach offsets are met at the ends of their moves, in the seat's axes") {
  const Planned planned(head + shop + home + pick + put);
  const auto& stretches = planned.whole().stretches;
  const Pose right = planned.frame_at_end(stretches[5], "right");
  const Vector3d top(0, 0, 40);
  CHECK((planned.frame_at_end(stretches[5], "hand").translation() - right * (top + Vector3d(0, 50, 150))).norm() <
        1e-6);
  CHECK((planned.frame_at_end(stretches[6], "hand").translation() - right * (top + Vector3d(0, 0, 80))).norm() < 1e-6);
  CHECK((planned.frame_at_end(stretches[7], "hand").translation() - right * (top + Vector3d(0, 0, 30))).norm() < 1e-6);
  CHECK((planned.frame_at_end(stretches[8], "hand").translation() - right * top).norm() < 1e-6);
  CHECK((planned.frame_at_end(stretches[10], "hand").translation() - right * (top + Vector3d(0, 0, 80))).norm() < 1e-6);
}

TEST_CASE("joint moves last as long as the trapezoid of their slowest joint says") {
  // Given joint 1 by 90 deg at half of 180 deg/s and half of 600 deg/s²: 90/90 + 90/300 s.
  const Planned planned(head + cycle_from("0, 0, 0, 0, -90, 0") + R"([[step]]
move = "joint"
joint_speed = 0.5
joint_acceleration = 0.5
to = { joints = [90, 0, 0, 10, -90, 0] }
[[step]]
move = "joint"
to = { joints = [86, 0, 0, 10, -90, 0] }
)");
  const auto& stretches = planned.whole().stretches;
  CHECK(stretches[0].end_s == Approx(1.3));
  // 4 deg is too short for full speed: 2 sqrt(4/600) s.
  CHECK(stretches[1].end_s - stretches[1].start_s == Approx(2 * std::sqrt(4.0 / 600)));
  CHECK(stretches[1].start_s == stretches[0].end_s);
  for (const auto& stretch : stretches) {
    const double length = stretch.end_s - stretch.start_s;
    CHECK(motion_at(planned.scene.cell.arm.arm, stretch.motion, 0).speeds.norm() == 0);
    CHECK(motion_at(planned.scene.cell.arm.arm, stretch.motion, length).speeds.norm() < 1e-9);
  }
}

TEST_CASE("a line lasts as long as its tool speed says, rest to rest, and keeps to it") {
  // Given 300 mm at 250 mm/s and 1000 mm/s²: 300/250 + 250/1000 s.
  const Planned planned(head + shop + home + R"([[step]]
move = "joint"
to = { tcp = "hand", at = { xyz = [800, -150, 600], turn = [180, 0, 0] } }
[[step]]
move = "linear"
to = { tcp = "hand", at = { xyz = [800, 150, 600], turn = [180, 0, 0] } }
)");
  const Stretch& line = planned.whole().stretches.back();
  CHECK(line.end_s - line.start_s == Approx(1.2 + 0.25));
  for (int i = 0; i <= 50; ++i) {
    const double time = line.start_s + (line.end_s - line.start_s) * i / 50;
    const auto poses = world_poses(planned.scene, arrangement_at(line, time), joints_at(line, time));
    const Vector3d hand = poses[planned.scene.frame_named("hand")].translation();
    CHECK(std::abs(hand.x() - 800) < 0.005);
    CHECK(std::abs(hand.z() - 600) < 0.005);
  }
}

TEST_CASE("an arm on a pedestal, its base turned, reaches the same places in world") {
  const std::string stood = "format = 1\n[arm]\non = \"pedestal\"\nbase = { xyz = [0, 0, 100], turn = [0, 0, -40] }\n" +
                            joints +
                            body_text("pedestal", "world", "{ xyz = [50, 60, -150] }", "box = [200, 200, 200]");
  const Planned planned(stood + shop + home + pick + put);
  const auto& stretches = planned.whole().stretches;
  const Vector3d left = Vector3d(700, 250, 340);
  CHECK((planned.frame_at_end(stretches[1], "hand").translation() - left).norm() < 1e-6);
  CHECK((planned.frame_at_end(stretches.back(), "brick").translation() - Vector3d(700, -250, 320)).norm() < 1e-9);
}

TEST_CASE("a run whose first target is out of reach stands as it stood at the start, whatever was to come") {
  std::string away = shop;
  const std::string seat = "at = { xyz = [-100, 250, 50]";
  away.replace(away.find(seat), seat.size(), "at = { xyz = [-100, 9000, 50]");
  const Planned planned(head + away + home + pick + put);
  REQUIRE(planned.run().failure);
  CHECK(planned.run().stretches.empty());
  const FrameId brick = planned.scene.frame_named("brick");
  CHECK(planned.run().at_end.parent[brick] == planned.scene.frame_named("left"));
}
