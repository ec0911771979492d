// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/legs.hpp"

#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

const std::string shelf = body_text("shelf", "world", "{ xyz = [600, 0, 300] }", "box = [400, 900, 20]") +
                          body_text("pad", "shelf", "{ xyz = [0, 0, 15] }", "box = [90, 90, 10]") + R"(
[[tcp]]
name = "hand"
on = "flange"
at = { xyz = [0, 0, 100] }
[[seat]]
name = "spot"
on = "pad"
at = { xyz = [0, 0, 5], turn = [0, 0, 90] }
[[seat]]
name = "bare"
[[part]]
name = "brick"
box = [80, 50, 40]
seat = "spot"
at = { xyz = [1, 2, 20] }
grasps = [ { name = "top", at = { xyz = [0, 0, 20], turn = [180, 0, 0] } } ]
)";

const std::string take = R"([cycle]
start = [0, 0, 0, 0, -90, 0]
[[step]]
name = "take"
pick = "brick"
tcp = "hand"
grasp = "top"
approach = [[10, 0, 100], [0, 0, 50]]
retreat = 70
)";

Vector3d offset_of(const Leg& leg) {
  return std::get<FrameTarget>(leg.target->to).at.translation();
}

}  // namespace

TEST_CASE("a pick goes to its offsets in the seat's axes, then to the grasp, and leaves by its retreat") {
  const Scene scene = scene_of(head + shelf + take);
  const Legs legs = spell_out(scene, {});
  REQUIRE_FALSE(legs.failure);
  REQUIRE(legs.legs.size() == 5);
  const Vector3d at_seat(1, 2, 40);  // the part's place in the seat and the grasp's height on it
  CHECK((offset_of(legs.legs[0]) - at_seat - Vector3d(10, 0, 100)).norm() < 1e-9);
  CHECK((offset_of(legs.legs[1]) - at_seat - Vector3d(0, 0, 50)).norm() < 1e-9);
  CHECK((offset_of(legs.legs[2]) - at_seat).norm() < 1e-9);
  CHECK_FALSE(legs.legs[3].target);
  CHECK((offset_of(legs.legs[4]) - at_seat - Vector3d(0, 0, 70)).norm() < 1e-9);
  for (const Leg& leg : legs.legs) CHECK(leg.step == "take");
}

TEST_CASE("meant contact names the part, its tool, the body right under the seat, and where the tool is there") {
  const Scene scene = scene_of(head + shelf + take);
  const Legs legs = spell_out(scene, {});
  CHECK_FALSE(legs.legs[0].contact);  // the joint move is not at the seat
  for (const std::size_t i : {1u, 2u, 3u, 4u}) {
    REQUIRE(legs.legs[i].contact);
    const SeatContact& contact = *legs.legs[i].contact;
    CHECK(contact.part == PartId(0));
    CHECK(contact.tcp == TcpId(0));
    CHECK(contact.seat_body == body_named(scene, "pad"));
    // The seat at (600, 0, 320), turned by 90 deg: (1, 2, 40) in it is (-2, 1, 40) from there.
    CHECK((contact.tcp_at_seat - Vector3d(598, 1, 360)).norm() < 1e-9);
  }
}

TEST_CASE("a seat in the world rests on no body, and the state at the end is told") {
  const Scene scene =
      scene_of(head + shelf + take + "[[step]]\nplace = \"brick\"\nseat = \"bare\"\n[[step]]\nremove = \"brick\"\n");
  const Legs legs = spell_out(scene, {});
  REQUIRE_FALSE(legs.failure);
  CHECK_FALSE(legs.legs[6].contact->seat_body);
  const BodyId brick = body_named(scene, "brick");
  CHECK(legs.legs.back().arrangement->present[brick] == 1);
  CHECK(legs.at_end.present[brick] == 0);
}

TEST_CASE("a turn of the grasp turns the tool about its own axis at the same place") {
  const Scene scene = scene_of(head + shelf + take);
  RunSetup setup;
  setup.turn_of_pick = {radians(90)};
  const Legs straight = spell_out(scene, {}), turned = spell_out(scene, setup);
  const Pose a = std::get<FrameTarget>(straight.legs[2].target->to).at,
             b = std::get<FrameTarget>(turned.legs[2].target->to).at;
  CHECK((a.translation() - b.translation()).norm() < 1e-12);
  CHECK((a.linear() * Vector3d::UnitX() - b.linear() * -Vector3d::UnitY()).norm() < 1e-12);
  CHECK((a.linear() * Vector3d::UnitZ() - b.linear() * Vector3d::UnitZ()).norm() < 1e-12);
}

TEST_CASE("steps that can't begin end the legs before them") {
  std::string again = take.substr(take.find("[[step]]"));
  again.replace(again.find("take"), 4, "more");
  const Scene scene = scene_of(head + shelf + take + again + "[[step]]\nwait = 1\n");
  const Legs legs = spell_out(scene, {});
  REQUIRE(legs.failure);
  CHECK(legs.failure->step == "more");
  CHECK(legs.failure->step_index == StepId(1));
  CHECK(legs.legs.size() == 5);
}
