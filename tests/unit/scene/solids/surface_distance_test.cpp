// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/surface_distance.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

TEST_CASE("the distance of a point from a box is the closed form's, and that of the nearest triangle") {
  random_geometry::Engine engine(11);
  const Solid box(box_mesh({80, 60, 40}));
  const Vector3d half(40, 30, 20);
  for (int i = 0; i < 2000; ++i) {
    const Vector3d p = random_geometry::point_in_cube(engine, 70);
    const Eigen::Array3d beyond = p.array().abs() - half.array();
    const double expected = beyond.maxCoeff() < 0 ? -beyond.maxCoeff() : beyond.max(0).matrix().norm();
    CHECK(distance_to_surface(box, p) == Approx(expected).margin(1e-9));
    const SurfacePlace place = nearest_place(box, p);
    CHECK(place.mm == Approx(expected).margin(1e-9));
    CHECK(distance_to_triangle(place.triangle, p) == Approx(expected).margin(1e-9));
  }
}

TEST_CASE("beyond the cap a distance is the cap, and one that is near enough is not improved") {
  const Solid box(box_mesh({80, 60, 40}));
  CHECK(distance_to_surface(box, {0, 0, 50}, 0, 10) == 10);
  CHECK(distance_to_surface(box, {0, 0, 50}, 0, 31) == Approx(30));
  const double near_enough = distance_to_surface(box, {0, 0, 50}, 60);
  CHECK(near_enough >= 30);
  CHECK(near_enough <= 60);
}
