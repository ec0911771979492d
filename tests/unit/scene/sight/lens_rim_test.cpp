// SPDX-License-Identifier: GPL-3.0-or-later
// How much of the ways from the lens's rim is blocked, by similar triangles and disks.
#include <catch2/catch.hpp>

#include "tests/support/lookout.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A lens of this radius before a target of 2 mm, 400 mm away on the axis.
RimView rim_of(double lens_radius, const std::vector<Body>& bodies) {
  Camera camera = camera_60_degrees();
  camera.lens_radius = lens_radius;
  const Look look(lookout(camera, {facing_target({0, 0, 400}, 2, 2)}, bodies));
  const auto rims = measure_rims(look.scene, look.request);
  REQUIRE(rims.front());
  return *rims.front();
}

/// A plate of 1 mm from x = `edge` outwards, its near face at depth z.
Body shutter(double edge, double z) {
  return body("shutter", BoxShape{{100, 200, 1}}, at(edge + 50, 0, z + 0.5));
}

}  // namespace

TEST_CASE("Nothing beside the lens leaves its rim clear, a wall in front blocks it fully") {
  const RimView clear = rim_of(10, {});
  CHECK(clear.blocked == 0);
  CHECK(clear.blocked_by.empty());
  CHECK(rim_word(clear) == "clear");
  const RimView wall = rim_of(10, {shutter(-50, 100)});
  CHECK(wall.blocked == 1);
  CHECK(rim_word(wall) == "fully blocked");
}

TEST_CASE("A shutter that spares the centre blocks the part of the rim that looks past it") {
  // At depth 100 of 400 the rim of radius 10 has shrunk to 7.5: an edge at 3.75 stands where cos a = 1/2, a third of
  // the rim lies beyond it (derived); the target is small.
  Camera camera = camera_60_degrees();
  camera.lens_radius = 10;
  const Look look(lookout(camera, {facing_target({0, 0, 400}, 2, 2)}, {shutter(3.75, 100)}));
  const CameraView view = measure_view(look.scene, look.request);
  CHECK(view.targets.front().visible == 1);
  REQUIRE(view.targets.front().rim);
  const RimView& rim = *view.targets.front().rim;
  CHECK(rim.blocked == Approx(1.0 / 3).margin(0.005));
  CHECK(rim_word(rim) == "partly blocked");
  REQUIRE(rim.blocked_by.size() == 1);
  CHECK(look.name(rim.blocked_by[0].body) == "shutter");
  CHECK(rim.blocked_by[0].share == rim.blocked);
}

TEST_CASE("A shutter just outside the cone from the rim to the target leaves it clear") {
  // The cone from radius 10 at the lens to 1 mm (its corners 1.42) at the target is 7.5 + 0.36 wide at depth 100.
  CHECK(rim_of(10, {shutter(7.9, 100)}).blocked == 0);
  CHECK(rim_of(10, {shutter(7.2, 100)}).blocked > 0);
}

TEST_CASE("The rim stands at the front element, and what is beside the lens behind it does not count") {
  Camera camera = camera_60_degrees();
  camera.lens_radius = 10;
  camera.front = 120;
  const Look look(lookout(camera, {facing_target({0, 0, 400}, 2, 2)}, {shutter(3.75, 100)}));
  CHECK(measure_rims(look.scene, look.request).front()->blocked == 0);
}

TEST_CASE("Without a lens radius, or with nothing in frame, there is no rim to speak of") {
  Camera camera = camera_60_degrees();
  const Look point(lookout(camera, {facing_target({0, 0, 400}, 2, 2)}, {}));
  CHECK_FALSE(measure_rims(point.scene, point.request).front());
  camera.lens_radius = 10;
  const Look beside(lookout(camera, {facing_target({900, 0, 400}, 2, 2)}, {}));
  CHECK_FALSE(measure_rims(beside.scene, beside.request).front());
}
