// SPDX-License-Identifier: GPL-3.0-or-later
// What doors, tables and fingers come upon on their way, each in a scene small enough to be worked by hand.
#include <fmt/format.h>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

const std::string still = cycle_from("0, 0, 0, 0, -90, 0");  // the flange at (790, 0, 1070), looking down
const std::string hand = body_text("hand", "flange", "{}", "box = [40, 40, 40]");

std::string shift(const std::string& body, const std::string& to) {
  return fmt::format("[[step]]\nname = \"shut\"\nshift = {}\nto = {}\ntime = \"4 s\"\n", body, to);
}

std::vector<Finding> too_close(const std::string& text) {
  return fails_of(proved(head + text).report, "clearance");
}

bool is_of(const Finding& finding, const std::string& a, const std::string& b) {
  return finding.between == std::vector<std::string>{a, b} || finding.between == std::vector<std::string>{b, a};
}

/// A jaw with one "finger", which stands 8 mm further out while it is open, takes a brick from its nest.
const std::string take_brick = R"(
[[jaw]]
name = "jaws"
on = "flange"
at = { xyz = [0, 0, 100] }
force = 400
friction = 0.2
fingers = [ { body = "finger", open = [-8, 0, 0] } ]
[[tcp]]
name = "tip"
at = { xyz = [0, 0, 100] }
jaw = "jaws"
touch = ["finger"]
grip_time = "0.5 s"
[[seat]]
name = "nest"
at = { xyz = [790, 0, 700] }
[[part]]
name = "brick"
box = [40, 40, 40]
seat = "nest"
grasps = [ { name = "top", at = { turn = [180, 0, 0] } } ]
[[step]]
name = "take"
pick = "brick"
tcp = "tip"
grasp = "top"
approach = 200
retreat = 200
)";

}  // namespace

TEST_CASE("a sliding door that runs across the standing arm fails, one that stops short of it passes") {
  // The door is 10 mm thick along its way, y; the hand's face is at y = -20, the rule 5 mm: it may come to y = -30.
  const auto slides = [](double to) {
    return too_close(hand + body_text("door", "world", "{ xyz = [790, -600, 1070] }", "box = [300, 10, 300]") + still +
                     shift("\"door\"", fmt::format("{{ xyz = [790, {}, 1070] }}", to)));
  };
  CHECK(slides(-30.01).empty());
  const auto short_of = slides(-29);
  REQUIRE(short_of.size() == 1);
  CHECK(is_of(short_of[0], "hand", "door"));
  CHECK(short_of[0].judged->measured == Approx(4).margin(0.1));
  CHECK(short_of[0].judged->measured <= 4);
  // Right across: it stands clear of the hand at both ends.
  const auto across = slides(600);
  REQUIRE(across.size() == 1);
  CHECK(across[0].judged->measured == 0);
  CHECK(*across[0].time_s > 4 * (600 - 25) / 1200.0 - 1e-6);
  CHECK(*across[0].time_s < 4 * (600 + 25) / 1200.0 + 1e-6);
}

TEST_CASE("a door on a hinge sweeps the circle of its edge about the frame at the hinge") {
  // A leaf of no width to speak of, 300 mm long from its hinge, opens by a quarter turn from +x to +y. Its edge passes
  // the corner (790, 20) side of the hand at 300 mm from the hinge: the hand's nearest corner to the hinge decides.
  const auto swings = [](double reach) {
    // hinge at (790 - 20 - 200, -20 - 200): the hand's corner (770, -20) stands 200 * sqrt(2) = 282.84 mm off it
    return too_close(hand + body_text("hinge", "world", "{ xyz = [570, -220, 1070] }", "sphere = { radius = 1 }") +
                     body_text("leaf", "hinge", fmt::format("{{ xyz = [{}, 0, 0] }}", reach / 2),
                               fmt::format("box = [{}, 0.2, 100]", reach)) +
                     still + shift("\"hinge\"", "{ xyz = [570, -220, 1070], turn = [0, 0, 90] }"));
  };
  CHECK(swings(277.8).empty());
  const auto near = swings(279.84);
  REQUIRE(near.size() == 1);
  CHECK(is_of(near[0], "hand", "leaf"));
  CHECK(near[0].judged->measured == Approx(3).margin(0.11));
  CHECK(*near[0].time_s == Approx(2).margin(0.1));  // 45 of 90 deg
  CHECK(swings(290).size() == 1);
}

TEST_CASE("two leaves shift at once, each on its own way, and each is judged by itself") {
  const auto leaves = [](double left, double right) {
    return too_close(hand + body_text("left leaf", "world", "{ xyz = [790, -600, 1070] }", "box = [300, 10, 300]") +
                     body_text("right leaf", "world", "{ xyz = [790, 600, 1070] }", "box = [300, 10, 300]") + still +
                     shift("[\"left leaf\", \"right leaf\"]",
                           fmt::format("[ {{ xyz = [790, {}, 1070] }}, {{ xyz = [790, {}, 1070] }} ]", left, right)));
  };
  CHECK(leaves(-31, 31).empty());
  const auto one = leaves(-31, 27);
  REQUIRE(one.size() == 1);
  CHECK(is_of(one[0], "hand", "right leaf"));
  CHECK(one[0].judged->measured == Approx(2).margin(0.1));
  CHECK(leaves(-26, 26).size() == 2);
}

TEST_CASE("a table that shifts carries the part in its seat, which is picked where it has come to") {
  const std::string table = body_text("table", "world", "{ xyz = [790, -800, 600] }", "box = [200, 200, 100]") + R"(
[[tcp]]
name = "tip"
at = { xyz = [0, 0, 20] }
[[seat]]
name = "nest"
on = "table"
at = { xyz = [0, 0, 50] }
[[part]]
name = "brick"
box = [60, 60, 40]
seat = "nest"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
)";
  const std::string take =
      "[[step]]\npick = \"brick\"\ntcp = \"tip\"\ngrasp = \"top\"\napproach = 100\nretreat = 100\n";
  const Proof proof =
      proved(head + hand + table + still + shift("\"table\"", "{ xyz = [790, 100, 600], turn = [0, 0, 90] }") + take);
  CHECK(fails_of(proof.report, "clearance").empty());
  const CycleRun& run = proof.cycle->runs.front();
  REQUIRE(run.stretches.size() == 5);
  const Stretch& grip = run.stretches[3];
  REQUIRE(grip.kind == StretchKind::grip);
  const auto world = world_poses(*proof.scene, arrangement_at(grip, grip.start_s), joints_at(grip, grip.start_s));
  const auto at = [&](const char* name) { return Vector3d(world[proof.scene->frame_named(name)].translation()); };
  CHECK((at("brick") - Vector3d(790, 100, 670)).norm() < 1e-9);
  CHECK((at("tip") - Vector3d(790, 100, 690)).norm() < 1e-6);
  // A table lifted with the part under the standing hand, 1050 at its lower face: the brick's top comes to 1047.
  const auto lifted =
      too_close(hand + table + still + shift("\"table\"", "{ xyz = [790, 0, 600] }") +
                shift("\"table\"", "{ xyz = [790, 0, 957] }").replace(0, 22, "[[step]]\nname = \"lift\""));
  REQUIRE(lifted.size() == 1);
  CHECK(is_of(lifted[0], "hand", "brick"));
  CHECK(lifted[0].judged->measured == Approx(3).margin(0.1));
}

TEST_CASE(
    "an open finger that stands too near to a neighbour fails on its way in and in the grip, not closed on its way "
    "out") {
  // The finger, 10 mm thick, stands 33 mm beside the jaw's middle while it is open, and closes by 8 mm, away from a
  // post that stands `gap` off the open finger's outer face.
  const auto grips = [](double gap) {
    const double outer = 790 - 33 - 5;  // the flange's x points along world x here
    return too_close(
        body_text("finger", "flange", "{ xyz = [-25, 0, 60] }", "box = [10, 10, 80]") +
        body_text("post", "world", fmt::format("{{ xyz = [{}, 0, 720] }}", outer - gap - 10), "box = [20, 20, 200]") +
        take_brick + still);
  };
  CHECK(grips(5.01).empty());
  const auto near = grips(3);
  REQUIRE_FALSE(near.empty());
  for (const auto& finding : near) {
    CHECK(is_of(finding, "finger", "post"));
    CHECK(finding.judged->measured == Approx(3).margin(0.1));
  }
  // In to the part and in the grip, whose beginning is as near; out it goes 8 mm further off, at 11 mm.
  CHECK(near.size() == 2);
}

TEST_CASE("a finger that opens against its own hand is mended on the flange, not by another way") {
  // Closed it stands 6 mm from the hand's side; 8 mm further out, while it is open, it cuts into it.
  const auto found =
      too_close(body_text("finger", "flange", "{ xyz = [-25, 0, 60] }", "box = [10, 10, 80]") +
                body_text("side", "flange", "{ xyz = [-41, 0, 60] }", "box = [10, 10, 80]") + take_brick + still);
  const auto own =
      std::find_if(found.begin(), found.end(), [](const Finding& f) { return is_of(f, "finger", "side"); });
  REQUIRE(own != found.end());
  CHECK_THAT(own->mend, Catch::Contains("both ride on the flange") && Catch::Contains("`open`"));
  CHECK_THAT(own->mend, !Catch::Contains("lead "));
}

TEST_CASE("a finger that closes into what stands between its places is not missed") {
  // A pin within the closing way, 2 mm thick, that the finger passes from one side to the other: clear at both ends.
  const auto closes = [](const std::string& pin_z) {
    return too_close(body_text("finger", "flange", "{ xyz = [-10, 0, 60] }", "box = [4, 10, 80]") +
                     body_text("pin", "world", "{ xyz = [750, 0, " + pin_z + "] }", "box = [2, 4, 20]") + R"(
[[jaw]]
name = "jaws"
on = "flange"
at = { xyz = [0, 0, 100] }
force = 400
friction = 0.2
fingers = [ { body = "finger", open = [-60, 0, 0] } ]
[[tcp]]
name = "tip"
at = { xyz = [0, 0, 100] }
jaw = "jaws"
grip_time = "0.5 s"
[[seat]]
name = "nest"
at = { xyz = [790, 0, 700] }
[[part]]
name = "brick"
box = [10, 40, 10]
seat = "nest"
grasps = [ { name = "top", at = { turn = [180, 0, 0] } } ]
[[step]]
name = "take"
pick = "brick"
tcp = "tip"
grasp = "top"
approach = 200
)" + still);
  };
  CHECK(closes("600").empty());
  const auto hit = closes("730");
  REQUIRE(hit.size() == 1);
  CHECK(is_of(hit[0], "finger", "pin"));
  CHECK(hit[0].judged->measured == 0);
}

TEST_CASE("second side up: a part turned over in its seat is gripped by the face that was below") {
  const Proof proof = proved(head + hand + R"(
[[tcp]]
name = "tip"
at = { xyz = [0, 0, 20] }
[[seat]]
name = "vice"
at = { xyz = [790, 100, 600], turn = [0, 0, 30] }
[[part]]
name = "blank"
box = [60, 40, 20]
seat = "vice"
at = { xyz = [0, 0, 10], turn = [180, 0, 0] }
grasps = [ { name = "below", at = { xyz = [5, 0, -10] } } ]
[[step]]
pick = "blank"
tcp = "tip"
grasp = "below"
approach = [[50, 0, 100], [0, 0, 60]]
retreat = 50
)" + still);
  const CycleRun& run = proof.cycle->runs.front();
  REQUIRE(run.stretches.size() == 5);
  const auto tip_at_end = [&](std::size_t i) {
    const Stretch& stretch = run.stretches[i];
    return world_poses(*proof.scene, arrangement_at(stretch, stretch.end_s),
                       joints_at(stretch, stretch.end_s))[proof.scene->frame_named("tip")];
  };
  // Turned over about x, the grasp's place (5, 0, -10) stands at (5, 0, 20) in the seat; its +z, now down, is the
  // tool's.
  const double c = std::cos(pi / 6), s = std::sin(pi / 6);
  const Vector3d grip(790 + 5 * c, 100 + 5 * s, 620);
  CHECK((tip_at_end(2).translation() - grip).norm() < 1e-6);
  CHECK((tip_at_end(2).linear().col(2) + Vector3d::UnitZ()).norm() < 1e-9);
  // The offsets stay in the seat's axes, turned over or not.
  CHECK((tip_at_end(0).translation() - (grip + Vector3d(50 * c, 50 * s, 100))).norm() < 1e-6);
  CHECK((tip_at_end(1).translation() - (grip + Vector3d(0, 0, 60))).norm() < 1e-6);
  CHECK((tip_at_end(4).translation() - (grip + Vector3d(0, 0, 50))).norm() < 1e-6);
}
