// SPDX-License-Identifier: GPL-3.0-or-later
// What a machine does around the arm: doors, full racks, turned parts. The arm stands with its flange at (790, 0, 1070)
// looking down, its hand a box from there 100 mm down (see small_cell.hpp).
#include <algorithm>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A sliding door, 20 mm thick, that shuts along y through a plane at `x`.
std::string door_cell(double x) {
  return head + body_text("hand", "flange", "{ xyz = [0, 0, 50] }", "box = [40, 40, 100]") +
         body_text("door", "world", fmt::format("{{ xyz = [{}, 1500, 1000] }}", x), "box = [20, 900, 900]") +
         cycle_from("0, 0, 0, 0, -90, 0") +
         fmt::format("[[step]]\nshift = \"door\"\nto = {{ xyz = [{}, -1500, 1000] }}\ntime = \"2 s\"\n", x);
}

/// A rack of three bricks 80 mm wide at a pitch of 83 mm, 3 mm between them, the middle one among others lifted out.
std::string rack_cell(const std::string& others, double clearance) {
  return head + shop_table + R"(
[[tcp]]
name = "hand"
at = { xyz = [0, 0, 100] }
[[seat]]
name = "rack"
on = "table"
at = { xyz = [-100, -100, 50] }
grid = { columns = 1, rows = 3, pitch = [83, 83] }
[[part]]
name = "brick"
box = [50, 80, 40]
seat = "@slot"
at = { xyz = [0, 0, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
)" + fmt::format("[rules]\nclearance = {}\nseat_zone = 10\n", clearance) +
         cycle_from("0, 0, 0, 0, -90, 0") + "each = { \"@slot\" = \"rack\" }\n" + others +
         "[[step]]\npick = \"brick\"\ntcp = \"hand\"\ngrasp = \"top\"\napproach = 100\nretreat = 100\n";
}

}  // namespace

TEST_CASE("a door that shifts across a standing arm fails, the same door beside it passes") {
  const auto through = fails_of(proof_of(door_cell(790)).report, "clearance");
  REQUIRE(through.size() == 1);
  CHECK(through[0].between == std::vector<std::string>{"hand", "door"});
  CHECK(through[0].judged->measured == 0);
  // Beside it: the hand ends at x = 810, the door begins 20 mm further.
  const Report beside = proof_of(door_cell(840)).report;
  CHECK(fails_of(beside, "clearance").empty());
  REQUIRE(beside.steps.front().clearance);
  CHECK(beside.steps.front().clearance->lower_mm <= 20);
  CHECK(beside.steps.front().clearance->upper_mm >= 20);
}

TEST_CASE("a full rack that is brushed fails where the empty one passes") {
  const auto full = fails_of(proof_of(rack_cell("", 4)).report, "clearance");
  REQUIRE(full.size() == 4);  // the first and the last seat have one neighbour, the middle one two
  CHECK(full[0].between[1].rfind("brick @ rack ", 0) == 0);
  CHECK(fails_of(proof_of(rack_cell("others = [\"none\"]\n", 4)).report, "clearance").empty());
  CHECK(proof_of(rack_cell("others = [\"none\"]\n", 4)).report.pass);
}

TEST_CASE("with several fillings of the other seats a finding says which it belongs to") {
  const auto fails = fails_of(proof_of(rack_cell("others = [\"none\", \"brick\"]\n", 4)).report, "clearance");
  REQUIRE(fails.size() == 4);
  for (const auto& finding : fails) CHECK(finding.others == "brick");
}

TEST_CASE("a part set down second side up lies on its other face") {
  // Given a brick 40 mm high held by its side face, turned over about x between two seats.
  const std::string text =
      head + shop_table + R"(
[[tcp]]
name = "hand"
at = { xyz = [0, 0, 100] }
[[seat]]
name = "first"
on = "table"
at = { xyz = [0, -150, 50] }
[[part]]
name = "brick"
box = [50, 80, 40]
seat = "first"
at = { xyz = [0, 0, 20], turn = [180, 0, 0] }
grasps = [ { name = "under", at = { xyz = [0, 0, -20] } } ]
)" + cycle_from("0, 0, 0, 0, -90, 0") +
      "[[step]]\npick = \"brick\"\ntcp = \"hand\"\ngrasp = \"under\"\napproach = 100\nretreat = 100\n";
  const Scene scene = scene_of(text);
  // The part's own z points down into the table; its under side, where it is gripped, is on top.
  const auto world = world_poses(scene, stated_arrangement(scene), Joints::Zero());
  const Pose& brick = world[scene.frame_named("brick")];
  CHECK(brick.linear().col(2).z() == Approx(-1));
  CHECK((brick * Vector3d(0, 0, -20)).z() == Approx(340));  // table top 300, brick 40
  CHECK(proof_of(text).report.pass);
}

TEST_CASE("two slots advance together: the third brick goes to the third place") {
  const std::string text = rack_cell("", 1);
  const std::string more = R"(
[[seat]]
name = "out"
on = "table"
at = { xyz = [100, -100, 50] }
grid = { columns = 1, rows = 3, pitch = [83, 83] }
)";
  const std::string each = "each = { \"@slot\" = \"rack\" }";
  std::string both = text;
  both.replace(both.find(each), each.size(), "each = { \"@slot\" = \"rack\", \"@to\" = \"out\" }");
  both.insert(both.find("[[part]]"), more);
  both += "[[step]]\nplace = \"brick\"\nseat = \"@to\"\nat = { xyz = [0, 0, 20] }\napproach = 100\nretreat = 100\n";
  const Proof proof = proof_of(both);
  REQUIRE(proof.cycle->runs.size() == 3);
  for (int place = 0; place < 3; ++place) {
    const CycleRun& run = proof.cycle->runs[static_cast<std::size_t>(place)];
    CHECK(run.name == fmt::format("rack {}", place + 1));
    CHECK_FALSE(run.failure);
    const Stretch& last = run.stretches.back();
    const auto world = world_poses(*proof.scene, arrangement_at(last, last.end_s), joints_at(last, last.end_s));
    const Pose& brick = world[proof.scene->frame_named("brick")];
    // Table top at z = 300; the seat's x is 800 + 100, its y -100 and 83 more a place; the brick's middle 20 above it.
    CHECK((brick.translation() - Vector3d(900, -100 + 83 * place, 320)).norm() < 1e-9);
  }
}
