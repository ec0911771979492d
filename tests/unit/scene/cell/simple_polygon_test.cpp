// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/simple_polygon.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("an outline whose edges only meet at corners is simple") {
  CHECK(is_simple_polygon({{0, 0}, {1, 0}, {0, 1}}));
  CHECK(is_simple_polygon({{0, 0}, {0, 1}, {1, 0}}));                          // the other way round
  CHECK(is_simple_polygon({{0, 0}, {2, 0}, {2, 2}, {1, 2}, {1, 1}, {0, 1}}));  // an L
  CHECK(is_simple_polygon({{0, 0}, {1, 0}, {2, 0}, {2, 1}, {0, 1}}));          // a corner on a straight edge
}

TEST_CASE("crossing, touching, folding and empty outlines are not") {
  CHECK_FALSE(is_simple_polygon({}));
  CHECK_FALSE(is_simple_polygon({{0, 0}, {1, 0}}));
  CHECK_FALSE(is_simple_polygon({{0, 0}, {1, 1}, {1, 0}, {0, 1}}));          // a bow
  CHECK_FALSE(is_simple_polygon({{0, 0}, {1, 0}, {2, 0}}));                  // no area
  CHECK_FALSE(is_simple_polygon({{0, 0}, {0, 0}, {1, 0}, {0, 1}}));          // a corner twice
  CHECK_FALSE(is_simple_polygon({{0, 0}, {2, 0}, {1, 0}, {1, 1}}));          // folds back
  CHECK_FALSE(is_simple_polygon({{0, 0}, {4, 0}, {4, 2}, {2, 0}, {0, 2}}));  // a corner touches an edge
}
