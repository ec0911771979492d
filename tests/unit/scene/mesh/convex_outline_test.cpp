// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/convex_outline.hpp"

#include <catch2/catch.hpp>

#include "tests/support/random_geometry.hpp"

using namespace cellproof;

TEST_CASE("the outline of a square with points on its sides and within has four corners") {
  const auto outline = convex_outline({{0, 0}, {2, 0}, {1, 0}, {2, 2}, {1, 1}, {0, 2}, {0, 1}, {2, 0}});
  CHECK(outline == std::vector<Vector2d>{{0, 0}, {2, 0}, {2, 2}, {0, 2}});
}

TEST_CASE("points on one line have two ends, one point is itself, none are none") {
  CHECK(convex_outline({{1, 1}, {3, 3}, {2, 2}}) == std::vector<Vector2d>{{1, 1}, {3, 3}});
  CHECK(convex_outline({{1, 1}, {1, 1}}) == std::vector<Vector2d>{{1, 1}});
  CHECK(convex_outline({}).empty());
}

TEST_CASE("no point lies outside of its outline, and every corner turns left") {
  random_geometry::Engine engine(4);
  for (int round = 0; round < 50; ++round) {
    std::vector<Vector2d> points;
    for (int i = 0; i < 40; ++i) points.push_back(random_geometry::point_in_cube(engine, 10).head<2>());
    const auto outline = convex_outline(points);
    for (std::size_t i = 0; i < outline.size(); ++i) {
      const Vector2d& a = outline[i];
      const Vector2d along = outline[(i + 1) % outline.size()] - a;
      for (const Vector2d& point : points) CHECK(along.x() * (point - a).y() - along.y() * (point - a).x() >= -1e-9);
    }
  }
}
