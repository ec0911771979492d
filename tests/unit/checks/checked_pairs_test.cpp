// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/checked_pairs.hpp"

#include <set>

#include "scene/cycle/plan.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

struct Pairs {
  Scene scene;
  Cycle cycle;
  explicit Pairs(const std::string& text) : scene(scene_of(text)), cycle(plan_cycle(scene)) {
    if (cycle.runs.front().failure) FAIL(cycle.runs.front().failure->message);
  }
  const Stretch& stretch(std::size_t i) const { return cycle.runs.front().stretches.at(i); }
  std::optional<PairAsked> find(std::size_t i, const std::string& a, const std::string& b) const {
    const BodyId first = body_named(scene, a), second = body_named(scene, b);
    for (const auto& pair : checked_pairs(scene, stretch(i)))
      if ((pair.a == first && pair.b == second) || (pair.a == second && pair.b == first)) return pair;
    return std::nullopt;
  }
  bool has(std::size_t i, const std::string& a, const std::string& b) const { return find(i, a, b).has_value(); }
};

std::string small(const std::string& name, const std::string& on) {
  return body_text(name, on, "{}", "box = [10, 10, 10]");
}

const std::string arm_bodies = small("b0", "base") + small("b1", "link1") + small("b2", "link2") +
                               small("b3", "link3") + small("b4", "link4") + small("b5", "link5") +
                               small("b6", "link6");
const std::string waits = cycle_from("0, 0, 0, 0, -90, 0") + "[[step]]\nwait = \"1 s\"\n";

const std::string handling =
    small("palm", "flange") + small("rubber", "palm") + shop_table + small("vice", "world") + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
touch = ["rubber"]
[[seat]]
name = "left"
on = "table"
at = { xyz = [-100, 250, 50] }
[[seat]]
name = "right"
on = "table"
at = { xyz = [-100, -250, 50] }
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "left"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
[[part]]
name = "lid"
box = [20, 20, 20]
seat = "right"
at = { xyz = [0, 200, 20] }
[rules]
seat_zone = 10
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

}  // namespace

TEST_CASE("links next to one another are not checked, those further apart are") {
  const Pairs pairs(head + arm_bodies + small("palm", "flange") + waits);
  for (int i = 0; i <= 6; ++i)
    for (int j = i + 1; j <= 6; ++j) {
      CAPTURE(i, j);
      CHECK(pairs.has(0, fmt::format("b{}", i), fmt::format("b{}", j)) == (j - i > 1));
    }
  for (int i = 0; i <= 6; ++i) CHECK(pairs.has(0, fmt::format("b{}", i), "palm") == (i != 6));
}

TEST_CASE("bodies of one link and bodies of the end effector are not checked among themselves") {
  const Pairs pairs(head + small("a", "link3") + small("b", "link3") + small("c", "a") + small("palm", "flange") +
                    small("camera", "palm") + waits);
  CHECK_FALSE(pairs.has(0, "a", "b"));
  CHECK_FALSE(pairs.has(0, "b", "c"));
  CHECK_FALSE(pairs.has(0, "palm", "camera"));
  CHECK(pairs.has(0, "c", "camera"));
}

TEST_CASE("the base is not checked against the body that the arm stands on, against others it is") {
  const Pairs pairs("format = 1\n[arm]\non = \"pedestal\"\n" + joints + small("b0", "base") + small("b1", "link1") +
                    small("pedestal", "world") + small("floor", "world") + waits);
  CHECK_FALSE(pairs.has(0, "b0", "pedestal"));
  CHECK(pairs.has(0, "b1", "pedestal"));
  CHECK(pairs.has(0, "b0", "floor"));
  CHECK_FALSE(pairs.has(0, "pedestal", "floor"));
}

TEST_CASE("surroundings are checked among themselves only where a clearance names them") {
  const std::string two = head + small("floor", "world") + small("door", "world") + small("wall", "world");
  const Pairs pairs(two + waits + "[[clearance]]\nbetween = [\"door\", \"wall\"]\nleast = 3\n");
  CHECK(pairs.has(0, "door", "wall"));
  CHECK_FALSE(pairs.has(0, "door", "floor"));
}

TEST_CASE("a held part counts from the grip's end, its touch bodies excepted") {
  const Pairs pairs(head + handling);  // joint, linear, grip, linear, joint
  CHECK_FALSE(pairs.has(0, "brick", "vice"));
  CHECK_FALSE(pairs.has(1, "brick", "vice"));
  CHECK(pairs.has(3, "brick", "vice"));
  CHECK(pairs.has(4, "brick", "vice"));
  CHECK(pairs.has(4, "brick", "lid"));
  CHECK(pairs.has(4, "brick", "table"));
  CHECK(pairs.has(4, "brick", "palm"));
  CHECK_FALSE(pairs.has(4, "brick", "rubber"));
  CHECK(pairs.has(0, "brick", "rubber"));
  CHECK(pairs.has(0, "palm", "lid"));
  CHECK_FALSE(pairs.has(0, "lid", "vice"));
}

TEST_CASE("meant contact is free within the seat zone and under the rule beyond") {
  const Pairs pairs(head + handling);
  // Going in, 100 mm long: the rubber against the brick counts for the first 90 of them.
  const auto in = pairs.find(1, "brick", "rubber");
  REQUIRE(in);
  REQUIRE(in->spans.size() == 1);
  CHECK(in->spans[0].from == 0);
  CHECK(in->spans[0].to == Approx(0.9));
  // What is not meant to touch counts all along.
  const auto palm = pairs.find(1, "brick", "palm");
  REQUIRE(palm);
  CHECK(palm->spans[0].to == 1);
  // Standing at the seat it is free, going out the brick against its table counts from 10 mm on.
  CHECK_FALSE(pairs.has(2, "brick", "rubber"));
  CHECK(pairs.has(2, "brick", "palm"));
  const auto out = pairs.find(3, "brick", "table");
  REQUIRE(out);
  REQUIRE(out->spans.size() == 1);
  CHECK(out->spans[0].from == Approx(0.1));
  CHECK(out->spans[0].to == 1);
  const auto lid = pairs.find(3, "brick", "lid");
  REQUIRE(lid);
  CHECK(lid->spans[0].from == 0);
  // Gripper against fixture is never free.
  for (std::size_t i = 0; i < 5; ++i) {
    const auto fixture = pairs.find(i, "rubber", "table");
    REQUIRE(fixture);
    CHECK(fixture->spans[0].from == 0);
    CHECK(fixture->spans[0].to == 1);
  }
}

TEST_CASE("touching fails under a rule of none: a little above zero is asked of every pair") {
  const Pairs pairs(head + small("palm", "flange") + small("post", "world") + waits + "[rules]\nclearance = 0\n");
  const auto pair = pairs.find(0, "palm", "post");
  REQUIRE(pair);
  CHECK(pair->least_mm > 0);
  CHECK(pair->least_mm <= 0.001);
}

TEST_CASE("what is shifted, with what rides on it, counts against arm, end effector and parts, not surroundings") {
  const Pairs pairs(head + small("b3", "link3") + small("palm", "flange") + small("slide", "world") +
                    small("clamp", "slide") + small("floor", "world") + small("other", "world") + R"(
[[seat]]
name = "on slide"
on = "slide"
[[seat]]
name = "on floor"
on = "floor"
[[seat]]
name = "on other"
on = "other"
[[part]]
name = "rider"
box = [5, 5, 5]
seat = "on slide"
[[part]]
name = "lying"
box = [5, 5, 5]
seat = "on floor"
[[part]]
name = "second"
box = [5, 5, 5]
seat = "on other"
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
wait = "1 s"
[[step]]
shift = ["slide", "other"]
to = [{ xyz = [100, 0, 0] }, { xyz = [-100, 0, 0] }]
time = "1 s"
)");
  CHECK_FALSE(pairs.has(0, "slide", "lying"));
  CHECK(pairs.has(0, "slide", "palm"));
  for (const char* moved : {"slide", "clamp", "rider"}) {
    CAPTURE(moved);
    CHECK(pairs.has(1, moved, "palm"));
    CHECK(pairs.has(1, moved, "b3"));
    CHECK(pairs.has(1, moved, "lying"));
    CHECK(pairs.has(1, moved, "second"));  // both shift, each its own way
  }
  CHECK(pairs.has(1, "floor", "palm"));
  CHECK(pairs.has(1, "rider", "lying"));
  CHECK_FALSE(pairs.has(1, "slide", "rider"));
  CHECK_FALSE(pairs.has(1, "clamp", "rider"));
  CHECK_FALSE(pairs.has(1, "slide", "floor"));
  CHECK_FALSE(pairs.has(1, "slide", "other"));
  CHECK_FALSE(pairs.has(1, "floor", "lying"));
}

TEST_CASE("fingers that move are checked against the rest of the end effector, while they move") {
  const std::string jawed =
      small("palm", "flange") + small("finger", "flange") + shop_table + jaws_with("finger") + R"([[seat]]
name = "left"
on = "table"
at = { xyz = [-100, 250, 50] }
[[part]]
name = "brick"
box = [40, 50, 40]
seat = "left"
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
[cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
pick = "brick"
tcp = "hand"
grasp = "top"
)";
  const Pairs pairs(head + jawed);
  CHECK_FALSE(pairs.has(1, "finger", "palm"));
  CHECK(pairs.has(2, "finger", "palm"));
  CHECK_FALSE(pairs.has(3, "finger", "palm"));
}
