// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/view_labels.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("A point is seen at the pixel whose line of sight goes through it, and not from behind") {
  const ViewSize size{800, 600};
  const Orbit orbit{{10, 20, 30}, 0.7, 0.4, 500};
  const Vector3d point(60, -30, 80);
  const auto pixel = pixel_of(orbit, point, size);
  REQUIRE(pixel);
  const LookLine line = line_through(orbit, *pixel, size);
  CHECK(line.direction.cross(point - line.eye).norm() < 1e-6 * line.direction.norm());
  CHECK((*pixel_of(orbit, orbit.at, size) - Vector2d(400, 300)).norm() < 1e-9);
  CHECK_FALSE(pixel_of(orbit, orbit.eye() - 10 * orbit.direction(), size));
}

TEST_CASE("Labels at one place stand below each other, each within the view") {
  const ViewSize size{400, 300};
  const std::vector<Vector2d> anchors(4, Vector2d(390, 20));
  const std::vector<Area> sizes(4, Area{0, 0, 120, 22});
  const auto places = label_places(anchors, sizes, size);
  REQUIRE(places.size() == 4);
  for (std::size_t i = 0; i < places.size(); ++i) {
    CHECK(places[i].left + places[i].width <= size.width);
    CHECK(places[i].top >= 0);
    for (std::size_t j = 0; j < i; ++j) CHECK_FALSE(places[i].overlaps(places[j]));
  }
}

TEST_CASE("Of two labels the left one stands on the left of its place and the right one on the right") {
  const auto places = label_places({{100, 100}, {200, 100}}, {{0, 0, 60, 22}, {0, 0, 60, 22}}, {400, 300});
  CHECK(places[0].left + places[0].width < 100);
  CHECK(places[1].left > 200);
}

TEST_CASE("A label is as wide as its words ask") {
  CHECK(label_picture("signal post and its foot", {0.7, 0.2, 0.1}).width >
        label_picture("post", {0.7, 0.2, 0.1}).width + 80);
}
