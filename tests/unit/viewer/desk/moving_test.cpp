// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/moving.hpp"

#include "tests/support/passing_hand.hpp"

using namespace cellproof;
using test::body_named;

namespace {

const Pose& pose_of(const Cell& cell, const std::string& name) {
  for (const Body& body : cell.bodies)
    if (body.name == name) return body.placed.at;
  FAIL("no body " << name);
  return cell.bodies.at(0).placed.at;
}

}  // namespace

TEST_CASE("What can be moved is the arm's base and what does not ride on the arm") {
  const Scene scene = test::scene_of(test::passing_hand);
  CHECK(movers_of(scene) == std::vector<std::string>{"base", "table", "post"});
  CHECK(mover_under(scene, body_named(scene, "post")) == "table");
  CHECK(mover_under(scene, body_named(scene, "hand")) == "base");
}

TEST_CASE("A moved cell is a new cell and the one given stays as it is") {
  const Cell cell = test::cell_of(test::passing_hand);
  const Cell other = moved(cell, "table", {{10, -20, 0}, radians(90)});
  CHECK((pose_of(other, "table").translation() - Vector3d(773.1, 184.5, 877)).norm() < 1e-9);
  CHECK((pose_of(other, "table").linear() * Vector3d::UnitX() - Vector3d::UnitY()).norm() < 1e-9);
  CHECK((pose_of(cell, "table").translation() - Vector3d(763.1, 204.5, 877)).norm() < 1e-9);
  CHECK(moved(cell, "base", {{5, 0, 0}, 0}).arm.base.at.translation().x() == 5);
}

TEST_CASE("The line to write puts the body where it was moved to") {
  const Cell cell = test::cell_of(test::passing_hand);
  CHECK(line_to_write(cell, "table", {{10, -20.126, 0}, 0}) == "at = { xyz = [773.1, 184.37, 877] }");
  CHECK(line_to_write(cell, "table", {{0, 0, 0}, radians(90)}) ==
        "at = { xyz = [763.1, 204.5, 877], turn = [0, 0, 90] }");
  CHECK(line_to_write(cell, "base", {{0, 12.5, 0}, 0}) == "base = { xyz = [0, 12.5, 0] }");
}

TEST_CASE("The written line reads back as the same pose, turns in all directions included") {
  for (const double yaw : {0.0, 30.0, 179.0, -135.0}) {
    std::string text = test::passing_hand;
    const std::string stated = "at = { xyz = [763.1, 204.5, 877] }";
    text.replace(text.find(stated), stated.size(), "at = { xyz = [1, 2, 3], turn = [20, -35, 50] }");
    const Cell cell = test::cell_of(text);
    const Placement placement{{4, 5, 6}, radians(yaw)};
    const std::string line = line_to_write(cell, "table", placement);
    text.replace(text.find("at = { xyz = [1, 2, 3]"), 46, line);
    const Pose written = pose_of(test::cell_of(text), "table");
    const Pose meant = pose_of(moved(cell, "table", placement), "table");
    // Written to a hundredth of a millimetre and of a degree.
    CHECK((written.translation() - meant.translation()).norm() < 0.01);
    CHECK((written.linear() - meant.linear()).norm() < radians(0.03));
  }
}

TEST_CASE("Dragging along a plane goes as far as the pointer's lines are apart in it") {
  // Two lines straight down, 30 apart in x, and one at 45 degrees (derived).
  const auto straight = dragged({{0, 0, 100}, {0, 0, -1}}, {{30, 0, 100}, {0, 0, -2}}, {5, 5, 10}, {0, 0, 1});
  REQUIRE(straight);
  CHECK((*straight - Vector3d(30, 0, 0)).norm() < 1e-9);
  const auto slanted = dragged({{0, 0, 100}, {0, 0, -1}}, {{0, 0, 100}, {1, 0, -1}}, {0, 0, 10}, {0, 0, 1});
  REQUIRE(slanted);
  CHECK((*slanted - Vector3d(90, 0, 0)).norm() < 1e-9);
  CHECK_FALSE(dragged({{0, 0, 100}, {0, 0, -1}}, {{0, 0, 100}, {1, 0, 0}}, {0, 0, 10}, {0, 0, 1}));
}
