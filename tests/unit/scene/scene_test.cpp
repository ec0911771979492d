// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/scene.hpp"

#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::string box(const std::string& name, const std::string& on) {
  return body_text(name, on, "{ xyz = [1, 2, 3] }", "box = [4, 5, 6]");
}

const SceneBody& body(const Scene& scene, const std::string& name) {
  return scene.bodies[body_named(scene, name)];
}

}  // namespace

TEST_CASE("bodies are sorted by what carries them, through any number of others") {
  const Scene scene =
      scene_of("format = 1\n[arm]\non = \"pedestal\"\n" + joints + box("pedestal", "world") + box("shelf", "pedestal") +
               box("foot", "base") + box("motor", "foot") + box("upper arm", "link2") + box("valve", "upper arm") +
               box("wrist", "link6") + box("palm", "flange") + box("cup", "hand") + box("ring", "cup") +
               box("knob", "brick") + R"(
[[tcp]]
name = "hand"
on = "flange"
[[seat]]
name = "place"
on = "shelf"
[[part]]
name = "brick"
box = [9, 9, 9]
seat = "place"
)");
  const auto is = [&](const char* name, BodyKind kind, std::optional<std::size_t> link) {
    CAPTURE(name);
    CHECK(body(scene, name).kind == kind);
    CHECK(body(scene, name).link == link);
  };
  is("pedestal", BodyKind::surroundings, std::nullopt);
  is("shelf", BodyKind::surroundings, std::nullopt);
  is("foot", BodyKind::arm, 0);
  is("motor", BodyKind::arm, 0);
  is("upper arm", BodyKind::arm, 2);
  is("valve", BodyKind::arm, 2);
  is("wrist", BodyKind::arm, 6);
  is("palm", BodyKind::end_effector, 6);
  is("cup", BodyKind::end_effector, 6);
  is("ring", BodyKind::end_effector, 6);
  is("brick", BodyKind::part, std::nullopt);
  is("knob", BodyKind::part, std::nullopt);
  CHECK(body(scene, "knob").owner_part == PartId(0));
}

TEST_CASE("frames stack up: a body on a body on the flange stands where the product of their poses is") {
  const Scene scene =
      scene_of(head + body_text("palm", "flange", "{ xyz = [0, 0, 40], turn = [0, 0, 90] }", "box = [1, 1, 1]") +
               body_text("cup", "palm", "{ xyz = [10, 0, 5] }", "box = [1, 1, 1]"));
  // At zero the flange stands at (890, 0, 1170), z along +x, x up, y along -y.
  const auto poses = world_poses(scene, stated_arrangement(scene), Joints::Zero());
  const auto at = [&](const char* name) -> Vector3d { return poses[scene.frame_named(name)].translation(); };
  CHECK((at("flange") - Vector3d(890, 0, 1170)).norm() < 1e-9);
  CHECK((at("palm") - Vector3d(930, 0, 1170)).norm() < 1e-9);
  CHECK((at("cup") - Vector3d(935, -10, 1170)).norm() < 1e-9);
  CHECK(rides_on(stated_arrangement(scene), scene.frame_named("cup"), scene.flange_frame));
  CHECK_FALSE(rides_on(stated_arrangement(scene), scene.flange_frame, scene.frame_named("cup")));
  CHECK_FALSE(scene.frame_named("nothing"));
}

TEST_CASE("a grid's seats stand along x first, then y, and its own name is its first seat") {
  const Scene scene =
      scene_of(head + body_text("plate", "world", "{ xyz = [1000, 0, 0], turn = [0, 0, 90] }", "box = [1, 1, 1]") + R"(
[[seat]]
name = "rack"
on = "plate"
at = { xyz = [0, 0, 7] }
grid = { columns = 3, rows = 2, pitch = [100, 10] }
)");
  const auto poses = world_poses(scene, stated_arrangement(scene), Joints::Zero());
  const auto at = [&](const char* name) -> Vector3d { return poses[scene.frame_named(name)].translation(); };
  CHECK((at("rack 1") - Vector3d(1000, 0, 7)).norm() < 1e-9);
  CHECK((at("rack 3") - Vector3d(1000, 200, 7)).norm() < 1e-9);
  CHECK((at("rack 4") - Vector3d(990, 0, 7)).norm() < 1e-9);
  CHECK((at("rack 6") - Vector3d(990, 200, 7)).norm() < 1e-9);
  CHECK(scene.frame_named("rack") == scene.frame_named("rack 1"));
}

TEST_CASE("others are copied with what rides on them, and are absent until a run fills their seat") {
  const Scene scene = scene_of(head + R"(
[[seat]]
name = "rack"
at = { xyz = [1000, 0, 0] }
grid = { columns = 2, rows = 1, pitch = [100, 10] }
[[part]]
name = "brick"
box = [9, 9, 9]
seat = "@slot"
at = { xyz = [0, 0, 5] }
[[part]]
name = "done"
box = [9, 9, 8]
[cycle]
start = [0, 0, 0, 0, 0, 0]
each = { "@slot" = "rack" }
)" + body_text("knob", "brick", "{ xyz = [0, 0, 6] }", "box = [2, 2, 2]"));
  const Arrangement stated = stated_arrangement(scene);
  const auto poses = world_poses(scene, stated, Joints::Zero());
  CHECK((poses[body(scene, "knob @ rack 2").frame].translation() - Vector3d(1100, 0, 11)).norm() < 1e-9);
  CHECK(body(scene, "brick @ rack 2").owner_part == PartId(0));
  CHECK(body(scene, "brick @ rack 2").solid == body(scene, "brick").solid);
  CHECK(stated.present[body_named(scene, "brick @ rack 2")] == 0);
  CHECK(stated.present[body_named(scene, "brick")] == 1);
  CHECK(stated.present[body_named(scene, "done")] == 0);
}

TEST_CASE("equal shapes are opened once") {
  const Scene scene =
      scene_of(head + box("a", "world") + box("b", "link2") + body_text("c", "world", "{}", "box = [4, 5, 6.000001]"));
  CHECK(body(scene, "a").solid == body(scene, "b").solid);
  CHECK(body(scene, "a").solid != body(scene, "c").solid);
}
