// SPDX-License-Identifier: GPL-3.0-or-later
// Where a zone begins and ends, whom it is for, and how it goes along with what carries it.
#include <fmt/format.h>

#include "tests/support/proof.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

// The hand, a cube of 40 mm at the flange, stands still with its centre at (790, 0, 1070): its faces at x = 770 and
// 810.
const std::string hand = body_text("hand", "flange", "{}", "box = [40, 40, 40]");
const std::string still = cycle_from("0, 0, 0, 0, -90, 0");
const std::string far_door = body_text("door", "world", "{ xyz = [0, 3000, 0] }", "box = [10, 10, 10]");
const std::string shift_door =
    "[[step]]\nname = \"shut\"\nshift = \"door\"\nto = { xyz = [0, 3100, 0] }\ntime = \"2 s\"\nclear = \"inside\"\n";

std::string zone(const std::string& at, const std::string& box, const std::string& on = "world") {
  return fmt::format("[[zone]]\nname = \"inside\"\non = \"{}\"\nat = {}\nbox = {}\n", on, at, box);
}

std::vector<Finding> in_zone(const std::string& text) {
  return fails_of(proved(head + text).report, "sequence");
}

/// A zone of 100 mm whose near face stands at x = 810 + gap, beyond the hand's.
std::vector<Finding> with_face_at(double gap) {
  return in_zone(hand + far_door + zone(fmt::format("{{ xyz = [{}, 0, 1070] }}", 860 + gap), "[100, 100, 100]") +
                 still + shift_door);
}

}  // namespace

TEST_CASE("what stands in a zone that a shift asks to be clear fails, with how far it has to go") {
  const auto found = with_face_at(-12);
  REQUIRE(found.size() == 1);
  CHECK(found[0].step == "shut");
  CHECK(found[0].between == std::vector<std::string>{"hand", "inside"});
  CHECK(found[0].judged->measured == Approx(-12));
  CHECK(found[0].judged->required.value() == 0);
  CHECK(found[0].message.find("'hand' stands in zone 'inside'") != std::string::npos);
  CHECK(found[0].mend.find("12.00 mm along (-1.00, 0.00, 0.00)") != std::string::npos);
}

TEST_CASE("a zone is entered behind its faces: outside and touching are not in") {
  CHECK(with_face_at(5).empty());
  CHECK(with_face_at(0).empty());
  CHECK(with_face_at(-0.01).size() == 1);
}

TEST_CASE("what touches no face of the zone is in it all the same: inside it, or round it") {
  CHECK(in_zone(hand + far_door + zone("{ xyz = [790, 0, 1070] }", "[400, 400, 400]") + still + shift_door).size() ==
        1);
  CHECK(in_zone(hand + far_door + zone("{ xyz = [790, 0, 1070] }", "[4, 4, 4]") + still + shift_door).size() == 1);
}

TEST_CASE("a zone that is turned is a box in its own axes") {
  // Turned by 45 deg a zone of 100 mm reaches 70.71 mm towards the hand with its edge, not 50 mm with a face.
  const auto turned = [](double x) {
    return in_zone(hand + far_door +
                   zone(fmt::format("{{ xyz = [{}, 0, 1070], turn = [0, 0, 45] }}", x), "[100, 100, 100]") + still +
                   shift_door);
  };
  CHECK(turned(810 + 70.72).empty());
  CHECK(turned(810 + 70.70).size() == 1);
}

TEST_CASE("without `clear`, and in steps that do not ask, a zone means nothing") {
  std::string free = shift_door;
  free.replace(free.find("clear = \"inside\"\n"), 17, "");
  CHECK(in_zone(hand + far_door + zone("{ xyz = [790, 0, 1070] }", "[400, 400, 400]") + still + free).empty());
}

TEST_CASE("surroundings and what is shifted may stand in a zone, the arm's own bodies may not") {
  const std::string all = zone("{ xyz = [0, 0, 1000] }", "[200, 200, 200]");
  CHECK(in_zone(body_text("door", "world", "{ xyz = [0, 3000, 0] }", "box = [10, 10, 10]") +
                body_text("post", "world", "{ xyz = [0, 0, 1000] }", "box = [10, 10, 10]") + all + still + shift_door)
            .empty());
  const auto arm = in_zone(far_door + body_text("column", "base", "{ xyz = [0, 0, 500] }", "box = [50, 50, 900]") +
                           all + still + shift_door);
  REQUIRE(arm.size() == 1);
  CHECK(arm[0].between[0] == "column");
}

TEST_CASE("a zone that rides on a shifted table fails where it comes upon the arm, not where it starts or ends") {
  // Given a zone of 100 mm on a table that goes past the hand from y = -500 to y = 500, or ends before it: the hand's
  // face is at y = -20, so the zone's middle may come as far as y = -70.
  const auto past = [](double from, double to, double x) {
    return in_zone(hand +
                   body_text("table", "world", fmt::format("{{ xyz = [{}, {}, 0] }}", x, from), "box = [9, 9, 9]") +
                   zone("{ xyz = [0, 0, 1070] }", "[100, 100, 100]", "table") + still +
                   fmt::format("[[step]]\nshift = \"table\"\nto = {{ xyz = [{}, {}, 0] }}\ntime = \"2 s\"\nclear = "
                               "\"inside\"\n",
                               x, to));
  };
  const auto through = past(-500, 500, 790);
  REQUIRE(through.size() == 1);
  CHECK(*through[0].time_s > 2 * (500 - 70) / 1000.0 - 1e-6);
  CHECK(*through[0].time_s < 2 * (500 + 70) / 1000.0 + 1e-6);
  CHECK(past(-500, -70.01, 790).empty());
  CHECK(past(-500, -69.9, 790).size() == 1);
  CHECK(past(-500, 500, 810 + 50).empty());  // its face slides along the hand's
  CHECK(past(-500, 500, 810 + 49.9).size() == 1);
}

TEST_CASE("machining asks for a clear zone as well, and a held part counts as the arm does") {
  const std::string shop = hand + body_text("mill", "world", "{ xyz = [700, 600, 0] }", "box = [100, 100, 100]") + R"(
[[tcp]]
name = "hand tip"
at = { xyz = [0, 0, 20] }
[[seat]]
name = "vice"
on = "mill"
at = { xyz = [0, 0, 50] }
[[seat]]
name = "tray"
at = { xyz = [790, 0, 1000] }
[[part]]
name = "done"
box = [40, 40, 40]
[[part]]
name = "blank"
box = [40, 40, 40]
seat = "vice"
at = { xyz = [0, 0, 20] }
[[part]]
name = "bar"
box = [400, 10, 10]
seat = "tray"
grasps = [ { name = "top", at = { xyz = [0, 0, 5], turn = [180, 0, 0] } } ]
)";
  const std::string take = "[[step]]\npick = \"bar\"\ntcp = \"hand tip\"\ngrasp = \"top\"\n";
  const std::string mill =
      "[[step]]\nname = \"mill it\"\nmachine = \"blank\"\ninto = \"done\"\ntime = \"4 min\"\nclear = \"inside\"\n";
  // The bar reaches x = 990, the hand 810.
  const auto found = [&](const std::string& before, double face) {
    return in_zone(shop + zone(fmt::format("{{ xyz = [{}, 0, 1000] }}", face + 50), "[100, 100, 100]") + still +
                   before + mill);
  };
  CHECK(found("", 850).empty());
  const auto held = found(take, 850);
  REQUIRE(held.size() == 1);
  CHECK(held[0].step == "mill it");
  CHECK(held[0].between == std::vector<std::string>{"bar", "inside"});
  // Back along x it were 990 - 850 mm; sideways half the zone's 100 mm and half the bar's 10 mm do.
  CHECK(held[0].judged->measured == Approx(-55).margin(1e-6));
  CHECK(found(take, 990.01).empty());
}
