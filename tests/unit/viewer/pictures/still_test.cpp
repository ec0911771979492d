// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/still.hpp"

#include <catch2/catch.hpp>

#include "tests/support/lookout.hpp"
#include "viewer/pictures/palette.hpp"
#include "viewer/pictures/parallel_eye.hpp"

using namespace cellproof;
using test::at;
using test::body;

namespace {

/// Hue alone: which of the palette's colours a shaded pixel comes from.
bool looks_like(std::uint32_t pixel, const Colour& colour) {
  const Vector3d seen(static_cast<double>(pixel >> 16 & 255), static_cast<double>(pixel >> 8 & 255),
                      static_cast<double>(pixel & 255));
  return seen.normalized().dot(Vector3d(colour.red, colour.green, colour.blue).normalized()) > 0.998;
}

long count(const Image& image, const Colour& colour) {
  return std::ranges::count_if(image.pixels, [&](std::uint32_t pixel) { return looks_like(pixel, colour); });
}

/// A gripper on the flange within, or without, an enclosing case.
Cell gripper_cell(bool enclosed) {
  std::vector<Body> bodies{body("gripper", BoxShape{{100, 100, 100}}, at(0, 0, 0), "flange")};
  if (enclosed) bodies.push_back(body("case", BoxShape{{400, 400, 400}}, at(0, 0, 0)));
  Cell cell = test::lookout(test::camera_60_degrees(), {}, bodies);
  cell.cameras.clear();
  return cell;
}

Image still_of(const Cell& cell, Side side, std::vector<std::string> hidden = {}) {
  const Scene scene = build_scene(cell).value();
  StillRequest request;
  request.arrangement = stated_arrangement(scene);
  request.side = side;
  request.width = 640;
  request.height = 400;
  request.hidden = std::move(hidden);
  return render_still(scene, request);
}

}  // namespace

TEST_CASE("Every side has a name and every name its side") {
  for (const Side side : {Side::quarter, Side::front, Side::back, Side::left, Side::right, Side::top})
    CHECK(side_named(side_name(side)) == side);
  CHECK_FALSE(side_named("below"));
}

TEST_CASE("From the front x runs right and z up, from the top y runs up") {
  const std::vector<Vector3d> points{{-100, -100, -100}, {100, 100, 100}};
  const Area area{0, 0, 400, 400};
  const ParallelEye front = fitted_eye(direction_from(Side::front), points, points, area);
  CHECK((front.pixel({100, 0, 0}) - Vector2d(400, 200)).norm() < 1e-9);
  CHECK((front.pixel({0, 0, 100}) - Vector2d(200, 0)).norm() < 1e-9);
  CHECK(front.depth({0, -100, 0}) < front.depth({0, 100, 0}));
  const ParallelEye top = fitted_eye(direction_from(Side::top), points, points, area);
  CHECK((top.pixel({100, 0, 0}) - Vector2d(400, 200)).norm() < 1e-9);
  CHECK((top.pixel({0, 100, 0}) - Vector2d(200, 0)).norm() < 1e-9);
  const ParallelEye right = fitted_eye(direction_from(Side::right), points, points, area);
  CHECK((right.pixel({0, 100, 0}) - Vector2d(400, 200)).norm() < 1e-9);
  CHECK(right.depth({100, 0, 0}) < right.depth({-100, 0, 0}));
}

TEST_CASE("A still is to scale") {
  // Given a cube, when seen from the front, then it fills the drawing's height: as wide as it is high.
  const Image image = still_of(gripper_cell(false), Side::front);
  const long pixels = count(image, palette::end_effector);
  const double side = 400 - 4 * 7 - 2 * 1.2 * 7;  // strip and margins are 4 and 1.2 letters of 7 pixels
  CHECK(static_cast<double>(pixels) == Approx(side * side).epsilon(0.04));  // less its dark lines and its name's leader
}

TEST_CASE("An enclosure does not hide the gripper") {
  const Image open = still_of(gripper_cell(true), Side::quarter, {"case"});
  const Image veiled = still_of(gripper_cell(true), Side::quarter);
  CHECK(count(open, palette::end_effector) > 10000);
  // a quarter of the scale, with a veil before it: greyer, yet bluer than any part of the case
  const long bluish =
      std::ranges::count_if(veiled.pixels, [](std::uint32_t p) { return (p & 255) > (p >> 16 & 255) + 30; });
  CHECK(bluish > 500);
}

TEST_CASE("A body that is hidden or not there is not drawn") {
  CHECK(count(still_of(gripper_cell(true), Side::front, {"gripper"}), palette::end_effector) <
        300);  // the legend's square at most
  const Scene scene = build_scene(gripper_cell(false)).value();
  StillRequest request;
  request.arrangement = stated_arrangement(scene);
  request.arrangement.present.at(0) = 0;
  request.width = 640, request.height = 400;
  CHECK(count(render_still(scene, request), palette::end_effector) == 0);
}

TEST_CASE("A marked pair is drawn in the marking colour") {
  const Scene scene = build_scene(gripper_cell(false)).value();
  StillRequest request;
  request.arrangement = stated_arrangement(scene);
  request.width = 640, request.height = 400;
  CHECK(count(render_still(scene, request), palette::marked) == 0);
  request.pairs = {{{Vector3d(-50, -50, 50), Vector3d(50, -50, 50)}, "gripper / gripper: 100 mm"}};
  CHECK(count(render_still(scene, request), palette::marked) > 50);
}
