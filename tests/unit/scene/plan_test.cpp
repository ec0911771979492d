// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/plan.hpp"

#include <catch2/catch.hpp>

#include "kinematics/inverse.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

struct Planned {
  Scene scene;
  Cycle cycle;
  explicit Planned(const std::string& text) : scene(scene_of(text)), cycle(plan_cycle(scene)) {}
  const CycleRun& run(std::size_t i = 0) const { return cycle.runs.at(i); }
  const CycleRun& whole() const {
    if (run().failure) FAIL(run().failure->message);
    return run();
  }
  Pose frame_at_end(const Stretch& stretch, const std::string& name) const {
    return world_poses(scene, arrangement_at(stretch, stretch.end_s),
                       joints_at(stretch, stretch.end_s))[static_cast<std::size_t>(scene.frame_named(name))];
  }
};

std::vector<std::string> kinds(const CycleRun& run) {
  std::vector<std::string> all;
  for (const auto& stretch : run.stretches) all.push_back(stretch.step + ": " + std::string(kind_name(stretch.kind)));
  return all;
}

double apart(const Pose& a, const Pose& b) {
  return (a.matrix() - b.matrix()).cwiseAbs().maxCoeff();
}

/// A table with two seats, a brick in the first, a gripper tool without jaws.
const std::string shop = body_text("table", "world", "{ xyz = [800, 0, 250] }", "box = [800, 1200, 100]") +
                         body_text("palm", "flange", "{ xyz = [0, 0, 40] }", "box = [60, 60, 80]") + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100], turn = [0, 0, 30] }
grip_time = "0.3 s"
release_time = "0.2 s"
[[seat]]
name = "left"
on = "table"
at = { xyz = [-100, 250, 50], turn = [0, 0, 20] }
[[seat]]
name = "right"
on = "table"
at = { xyz = [-100, -250, 50] }
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "left"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] }, turns = [0, 180] } ]
)";
const std::string home = cycle_from("0, 0, 0, 0, -90, 0");
const std::string pick = R"([[step]]
name = "take"
pick = "brick"
tcp = "hand"
grasp = "top"
approach = 100
retreat = [[0, 0, 40], [0, 0, 150]]
)";
const std::string put = R"([[step]]
name = "put"
place = "brick"
seat = "right"
at = { xyz = [0, 0, 20] }
approach = [[0, 50, 150], [0, 0, 80], [0, 0, 30]]
retreat = 80
)";

}  // namespace

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
    CHECK(stretches[i].held_part == (held ? 0 : -1));
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
          v = std::min(v, 0.3 * arm.limits[static_cast<std::size_t>(j)].speed / way);
          a = std::min(a, arm.limits[static_cast<std::size_t>(j)].acceleration / way);
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
  const Joints wish = degrees_of(-170, 80, -100, 100, -50, 200);
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

TEST_CASE("what can't be reached tells how far short the arm is") {
  const Planned planned(head + shop + home +
                        "[[step]]\nname = \"far\"\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [3000, 0, "
                        "900], turn = [180, 0, 30] } }\n");
  REQUIRE(planned.run().failure);
  const PlanFailure& failure = *planned.run().failure;
  CHECK(failure.why == PlanFailure::Why::out_of_reach);
  CHECK(failure.step == "far");
  // The wrist reaches 150 + 600 + hypot(120, 640) = 1401 mm from base z, the hand 200 mm more.
  CHECK(failure.measured > 3000 - 1602);
  CHECK(failure.measured < 3000 - 700);
  CHECK(failure.message.find("mm") != std::string::npos);
  CHECK(planned.run().stretches.empty());
}

TEST_CASE("a line that leaves the reach tells after how many mm") {
  // Given a tool that looks down at height 450 + 100 + 100 - the shoulder's - and goes out along x.
  const Planned planned(head + shop + home + R"([[step]]
move = "joint"
to = { tcp = "hand", at = { xyz = [900, 0, 250], turn = [180, 0, 0] } }
[[step]]
name = "out"
move = "linear"
to = { tcp = "hand", at = { xyz = [2500, 0, 250], turn = [180, 0, 0] } }
)");
  REQUIRE(planned.run().failure);
  CHECK(planned.run().failure->why == PlanFailure::Why::out_of_reach);
  CHECK(planned.run().failure->step == "out");
  // The wrist's centre stands 200 above the tool, at the shoulder's 450: it gets to 150 + 600 + sqrt(120² + 640²).
  const double most = 150 + 600 + std::hypot(120, 640) - 900;
  CHECK(planned.run().failure->measured == Approx(most).margin(0.1));
}

TEST_CASE("a pose outside every limit names the joint and its limit") {
  const Planned planned(head + shop + home +
                        "[[step]]\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [-800, -5, 900], turn = [180, "
                        "0, 0] } }\n");
  // Joint 1 would stand at 180 deg; over the head the arm may still come: then there is no failure.
  if (planned.run().failure) CHECK(planned.run().failure->why == PlanFailure::Why::limits);
  std::string narrow = head;
  const std::string wide = "min = -170, max = 170";
  narrow.replace(narrow.find(wide), wide.size(), "min = -20, max = 20");
  const Planned sideways(narrow + shop + home +
                         "[[step]]\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [0, 800, 900], turn = [180, "
                         "0, 0] } }\n");
  REQUIRE(sideways.run().failure);
  CHECK(sideways.run().failure->why == PlanFailure::Why::limits);
  CHECK(sideways.run().failure->message.find("joint 1") != std::string::npos);
  CHECK(sideways.run().failure->measured == Approx(-70).margin(1e-6));  // at 90, allowed 20
}

TEST_CASE("an arm of no structure reaches poses like any other") {
  std::string general = head;
  const std::string row = "{ a = 0,   alpha = 90,  d = 0,   theta = 0,  min = -125";
  general.replace(general.find(row), row.size(), "{ a = 35,   alpha = 80,  d = 27,   theta = 0,  min = -125");
  const Planned posed(general + shop + home +
                      "[[step]]\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [700, 300, 500], turn = [180, "
                      "0, 75] } }\n");
  CHECK_FALSE(posed.run().failure);
  const Planned joints_only(general + shop + home + joint_move("10, 0, 0, 0, 80, 0"));
  CHECK(joints_only.whole().stretches.size() == 1);
}

TEST_CASE("an arm that is singular everywhere says so and takes joint values all the same") {
  std::string singular = head;
  const std::string row = "{ a = 0,   alpha = 90,  d = 0,   theta = 0,  min = -125";
  singular.replace(singular.find(row), row.size(), "{ a = 0,   alpha = 0,  d = 0,   theta = 0,  min = -125");
  const Planned posed(singular + shop + home +
                      "[[step]]\nmove = \"joint\"\nto = { tcp = \"hand\", at = { xyz = [700, 300, 500], turn = [180, "
                      "0, 75] } }\n");
  REQUIRE(posed.run().failure);
  CHECK(posed.run().failure->why == PlanFailure::Why::no_method);
  const Planned joints_only(singular + shop + home + joint_move("10, 0, 0, 0, 80, 0"));
  CHECK(joints_only.whole().stretches.size() == 1);
}

TEST_CASE("a half turn on a line is refused, a line of no length takes no time") {
  const auto line = [&](const std::string& turn) {
    return R"([[step]]
move = "joint"
to = { tcp = "hand", at = { xyz = [750, 100, 700], turn = [180, 0, 0] } }
[[step]]
move = "linear"
to = { tcp = "hand", at = { xyz = [750, 100, 700], turn = )" +
           turn + " } }\n";
  };
  const Planned half(head + shop + home + line("[180, 0, 180]"));
  REQUIRE(half.run().failure);
  CHECK(half.run().failure->message.find("180 deg") != std::string::npos);
  const Planned none(head + shop + home + line("[180, 0, 0]"));
  const Stretch& still = none.whole().stretches.back();
  CHECK(still.end_s == still.start_s);
  const Planned turning(head + shop + home + line("[180, 0, 40]"));
  // 40 deg at 90 deg/s and 360 deg/s²: 40/90 + 90/360 s, if no joint holds it back.
  const Stretch& turned = turning.whole().stretches.back();
  CHECK(turned.end_s - turned.start_s == Approx(40.0 / 90 + 90.0 / 360));
}

TEST_CASE("lines and joint moves of nearly no length are run like any other") {
  for (double length = 1e-12; length < 1; length *= 10) {
    CAPTURE(length);
    const Planned planned(head + shop + home +
                          fmt::format(R"([[step]]
move = "joint"
to = {{ tcp = "hand", at = {{ xyz = [750, 100, 700], turn = [180, 0, 0] }} }}
[[step]]
move = "linear"
to = {{ tcp = "hand", at = {{ xyz = [750, {:.15g}, 700], turn = [180, 0, 0] }} }}
[[step]]
move = "joint"
to = {{ tcp = "hand", at = {{ xyz = [750, 100, 700], turn = [180, 0, 0] }} }}
)",
                                      100 + length));
    const auto& stretches = planned.whole().stretches;
    REQUIRE(stretches.size() == 3);
    // Too short for full speed: 2 sqrt(length / 1000 mm/s²), nothing where the tool stands still to the last digit.
    const double time = stretches[1].end_s - stretches[1].start_s;
    if (length > 1e-6) CHECK(time == Approx(2 * std::sqrt(length / 1000)).epsilon(1e-3));
    CHECK(time >= 0);
    CHECK(time <= 2 * std::sqrt(length / 1000) * 1.01 + 1e-12);
    CHECK(stretches[2].end_s - stretches[2].start_s < 0.5);
  }
}

TEST_CASE("a step that can't begin as things stand fails by itself, what went before is kept") {
  const auto failing = [&](const std::string& steps) {
    const Planned planned(head + shop + home + steps);
    REQUIRE(planned.run().failure);
    CHECK(planned.run().failure->why == PlanFailure::Why::wrong_state);
    return planned.run().failure->message;
  };
  std::string again = pick;
  again.replace(again.find("take"), 4, "more");
  CHECK(failing(pick + again).find("already holds 'brick'") != std::string::npos);
  CHECK(failing(put).find("does not hold 'brick'") != std::string::npos);
  CHECK(failing("[[step]]\nremove = \"brick\"\n" + pick).find("not in the cell") != std::string::npos);
  CHECK(failing("[[step]]\nbring = \"brick\"\nseat = \"right\"\n").find("already") != std::string::npos);
  const std::string second = "[[part]]\nname = \"lid\"\nbox = [10, 10, 10]\nseat = \"right\"\n";
  const Planned taken(head + shop + second + home + pick + put);
  REQUIRE(taken.run().failure);
  CHECK(taken.run().failure->message.find("taken by 'lid'") != std::string::npos);
  CHECK(taken.run().failure->step == "put");
  CHECK(taken.run().stretches.size() == 5);
  CHECK(taken.run().failure->time_s == taken.run().duration_s);
  const Planned own(
      head + shop + home + pick +
      "[[step]]\nname = \"back\"\nplace = \"brick\"\nseat = \"left\"\nat = { xyz = [0, 0, 20] }\napproach = 50\n");
  CHECK(own.whole().stretches.size() == 9);
}

TEST_CASE("fingers are open while the jaw holds nothing, and close in the grip") {
  const std::string jawed =
      body_text("left finger", "flange", "{ xyz = [-25, 0, 60], turn = [0, 0, 90] }", "box = [10, 10, 80]") +
      body_text("table", "world", "{ xyz = [800, 0, 250] }", "box = [800, 1200, 100]") + R"(
[[jaw]]
name = "jaws"
on = "flange"
at = { xyz = [0, 0, 100] }
force = 400
friction = 0.2
fingers = [ { body = "left finger", open = [-8, 0, 0] } ]
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
jaw = "jaws"
grip_time = "0.5 s"
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
    const auto pose = [&](const char* name) {
      return poses[static_cast<std::size_t>(planned.scene.frame_named(name))];
    };
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
    return run.stretches.at(i).arrangement->present[static_cast<std::size_t>(body_named(planned.scene, name))] != 0;
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
  const Pose door = poses[static_cast<std::size_t>(planned.scene.frame_named("door"))];
  CHECK((door.translation() - Vector3d(0, 2300, 0)).norm() < 1e-9);
  CHECK(std::atan2(door.linear()(1, 0), door.linear()(0, 0)) == Approx(pi / 4));
  CHECK((planned.frame_at_end(run.stretches[4], "door").translation() - Vector3d(0, 2600, 0)).norm() < 1e-12);
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
    const Vector3d hand = poses[static_cast<std::size_t>(planned.scene.frame_named("hand"))].translation();
    CHECK(std::abs(hand.x() - 800) < 0.005);
    CHECK(std::abs(hand.z() - 600) < 0.005);
  }
}

TEST_CASE("every seat of a grid has its run, and every entry of others, each from time zero") {
  const std::string rack = body_text("table", "world", "{ xyz = [800, 0, 250] }", "box = [800, 1200, 100]") + R"(
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
    for (std::size_t b = 0; b < by_default.scene.bodies.size(); ++b) {
      const SceneBody& body = by_default.scene.bodies[b];
      if (body.copy_of_seat < 0 || !run.stretches.front().arrangement->present[b]) continue;
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
    for (std::size_t b = 0; b < filled.scene.bodies.size(); ++b)
      if (filled.scene.bodies[b].copy_of_seat >= 0 && filled.run(r).stretches.front().arrangement->present[b]) ++copies;
    return copies;
  };
  CHECK(count(0) == 0);
  CHECK(count(1) == 3);
  // A seat that the file fills itself gets no copy on top.
  const std::string gauge = "[[part]]\nname = \"gauge\"\nbox = [9, 9, 9]\nseat = \"rack 3\"\n";
  const Planned full(head + rack + gauge + cycle + pick);
  const auto copy = static_cast<std::size_t>(body_named(full.scene, "brick @ rack 3"));
  CHECK(full.run(0).stretches.front().arrangement->present[copy] == 0);
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
