// SPDX-License-Identifier: GPL-3.0-or-later
// Which joint solution and which grasp turn each target takes.
#include <catch2/catch.hpp>

#include "kinematics/inverse/inverse.hpp"
#include "tests/support/planned_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

TEST_CASE("a pose target takes, of all solutions and whole turns, the one that is reached soonest") {
  const std::string to = R"([[step]]
move = "joint"
joint_speed = 0.3
to = { tcp = "hand", at = { xyz = [700, 300, 500], turn = [180, 0, 75] } }
)";
  for (const auto* start : {"0, 0, 0, 0, -90, 0", "90, -20, 30, -170, -90, 340", "-100, 10, -60, 150, 20, -300"}) {
    const Planned planned(head + shop + cycle_from(start) + to);
    const Stretch& move = planned.whole().stretches.front();
    const Arm& arm = planned.scene.cell.arm.arm;
    const Joints from = planned.scene.cell.cycle->start, taken = move.motion.path.end();
    const Pose hand_in_flange =
        Pose(Eigen::Translation3d(0, 0, 100)) * Eigen::AngleAxisd(radians(30), Vector3d::UnitZ());
    Pose goal(Eigen::Translation3d(700, 300, 500));
    goal = goal * Eigen::AngleAxisd(radians(75), Vector3d::UnitZ()) * Eigen::AngleAxisd(pi, Vector3d::UnitX());
    CHECK(apart(flange_in_base(arm, taken) * hand_in_flange, goal) < 1e-6);
    // Then no other choice, of every joint turned whole turns by hand, is within limits and quicker.
    const auto solutions = inverse(arm, goal * hand_in_flange.inverse());
    REQUIRE(solutions);
    REQUIRE(solutions->all.size() >= 4);
    int others = 0;
    for (const auto& solution : solutions->all)
      for (int code = 0; code < 729; ++code) {
        Joints turned = solution.values;
        for (int j = 0, rest = code; j < 6; ++j, rest /= 3) turned[j] += 2 * pi * (rest % 3 - 1);
        if (!within_limits(arm, turned)) continue;
        double time = 0;  // trapezoid: the slowest joint's, all joints by the same law
        double v = 1e300, a = 1e300;
        for (int j = 0; j < 6; ++j) {
          const double way = std::abs(turned[j] - from[j]);
          if (way < 1e-12) continue;
          v = std::min(v, 0.3 * arm.limits[j].speed / way);
          a = std::min(a, arm.limits[j].acceleration / way);
        }
        time = a >= v * v ? 1 / v + v / a : 2 / std::sqrt(a);
        CHECK(move.end_s <= time + 1e-7);
        ++others;
      }
    CHECK(others >= 4);
  }
}

TEST_CASE("near takes the solution whose greatest joint difference from it is least") {
  const std::string near = "-170, 80, -100, 100, -50, 200";
  const Planned planned(head + shop + home +
                        "[[step]]\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [700, 300, 500], turn = [180, "
                        "0, 75] }, near = [" +
                        near + "] }\n");
  const Arm& arm = planned.scene.cell.arm.arm;
  const Joints wish = in_degrees(-170, 80, -100, 100, -50, 200);
  const Joints taken = planned.whole().stretches.front().motion.path.end();
  const auto solutions = inverse(arm, flange_in_base(arm, taken));
  REQUIRE(solutions);
  for (const auto& solution : solutions->all)
    for (const Joints& other : whole_turns(arm, solution.values))
      CHECK((taken - wish).cwiseAbs().maxCoeff() <= (other - wish).cwiseAbs().maxCoeff() + 1e-7);
}

TEST_CASE("a solution from which the following line can't be run is passed over") {
  // Given a pose and then a turn of the tool by 60 deg, which joint 6 has to make.
  const std::string steps = R"([[step]]
move = "joint"
to = { tcp = "hand", at = { xyz = [750, 10, 700], turn = [180, 0, 80] } }
[[step]]
move = "linear"
to = { tcp = "hand", at = { xyz = [750, 10, 700], turn = [180, 0, 140] } }
)";
  const Planned free(head + shop + home + steps);
  const Path& quick = free.whole().stretches[1].motion.path;
  const double begin = degrees(quick.start()[5]), end = degrees(quick.end()[5]);
  CHECK(std::abs(end - begin) == Approx(60).margin(1));
  // When joint 6 may go no further than 5 deg short of where the quickest solution ends
  std::string narrow = head;
  const std::string wide = "min = -350, max = 350";
  narrow.replace(
      narrow.find(wide), wide.size(),
      end > begin ? fmt::format("min = -350, max = {}", end - 5) : fmt::format("min = {}, max = 350", end + 5));
  // Then another one is taken, from which the line keeps within limits.
  const Planned bound(narrow + shop + home + steps);
  CHECK(within_limits(bound.scene.cell.arm.arm, quick.start()));
  const Path& other = bound.whole().stretches[1].motion.path;
  CHECK((other.start() - quick.start()).cwiseAbs().maxCoeff() > 0.1);
  for (const Knot& knot : other.knots()) CHECK(within_limits(bound.scene.cell.arm.arm, knot.values));
}

TEST_CASE("the first turn of a grasp that works for the whole cycle is taken and told") {
  // Given joint 6 within little more than a half turn, here or there, and a place to put the brick that is turned: one
  // of the two turns of the grasp leads out of limits, in the pick or only in the place.
  const std::string seats = shop +
                            "[[seat]]\nname = \"turned\"\non = \"table\"\nat = { xyz = [-100, -250, 50], turn = "
                            "[0, 0, TURN] }\n";
  const std::string put_turned =
      "[[step]]\nname = \"put\"\nplace = \"brick\"\nseat = \"turned\"\nat = { xyz = [0, 0, 20] }\napproach = 50\n";
  bool first = false, second = false;
  for (const auto* window : {"min = -95, max = 95", "min = 85, max = 275"})
    for (const int turn : {-150, -100, -40, 0, 40, 100, 150}) {
      CAPTURE(window, turn);
      std::string narrow = head;
      const auto limit = [&](const std::string& from, const std::string& to) {
        narrow.replace(narrow.find(from), from.size(), to);
      };
      limit("min = -350, max = 350", window);
      limit("min = -190, max = 190", "min = -40, max = 40");
      limit("min = -125, max = 125", "min = -125, max = 0");
      std::string cell = narrow + seats + home + pick + put_turned;
      cell.replace(cell.find("TURN"), 4, std::to_string(turn));
      const Planned planned(cell);
      const auto only = [&](const char* turns) {
        std::string text = cell;
        text.replace(text.find("turns = [0, 180]"), 16, turns);
        return Planned(text);
      };
      const bool straight = !only("turns = [0]").run().failure, turned = !only("turns = [180]").run().failure;
      CHECK(planned.run().failure.has_value() == (!straight && !turned));
      if (planned.run().failure) continue;
      const Stretch& grip = planned.whole().stretches.at(2);
      REQUIRE(grip.grasp_turn);
      CHECK(*grip.grasp_turn == Approx(straight ? 0 : pi));
      (straight ? first : second) = true;
      const Pose brick_in_hand = planned.frame_at_end(planned.whole().stretches.at(3), "hand").inverse() *
                                 planned.frame_at_end(planned.whole().stretches.at(3), "brick");
      const Pose grasp = Pose(Eigen::Translation3d(0, 0, 20)) * Eigen::AngleAxisd(pi, Vector3d::UnitX()) *
                         Eigen::AngleAxisd(*grip.grasp_turn, Vector3d::UnitZ());
      CHECK(apart(brick_in_hand, grasp.inverse()) < 1e-9);
    }
  CHECK(first);
  CHECK(second);
}

TEST_CASE("turns by the dozen at several picks do not multiply: a hopeless step is told at once") {
  std::string any = shop;
  any.replace(any.find("turns = [0, 180]"), 16, "turns = \"any\"");
  std::string steps;
  for (int i = 0; i < 6; ++i) {
    std::string again =
        pick + "[[step]]\nname = \"back\"\nplace = \"brick\"\nseat = \"left\"\nat = { xyz = [0, 0, 20] }\n";
    again.replace(again.find("take"), 4, "take " + std::to_string(i));
    again.replace(again.find("back"), 4, "back " + std::to_string(i));
    steps += again;
  }
  const Planned planned(
      head + any + home + steps +
      "[[step]]\nname = \"far\"\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [3000, 0, 0] } "
      "}\n");
  REQUIRE(planned.run().failure);
  CHECK(planned.run().failure->step == "far");
}
