// SPDX-License-Identifier: GPL-3.0-or-later
// What a step that can't be run says, and moves at the edge of what can.
#include <catch2/catch.hpp>

#include "tests/support/planned_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

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
