// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/canvas.hpp"

#include <catch2/catch.hpp>

#include "viewer/pictures/furniture.hpp"
#include "viewer/pictures/labels.hpp"

using namespace cellproof;

TEST_CASE("A picture becomes a PNG file's bytes") {
  const auto png = png_of(blank_image(30, 20, {1, 0, 0}));
  REQUIRE(png);
  CHECK(png->substr(0, 8) == "\x89PNG\r\n\x1a\n");  // printed: the PNG specification's signature
}

TEST_CASE("Lines and fills land where they are asked to") {
  Image image = blank_image(40, 30, {1, 1, 1});
  Canvas canvas(image);
  canvas.fill({10, 5, 4, 4}, {0, 0, 0});
  CHECK(image.at(11, 6) == 0xff000000U);
  CHECK(image.at(14, 6) == 0xffffffffU);
  canvas.line(std::array{Vector2d(0, 20.5), Vector2d(39, 20.5)}, {{1, 0, 0}, 1});
  CHECK(image.at(20, 20) == 0xffff0000U);
  CHECK(image.at(20, 22) == 0xffffffffU);
}

TEST_CASE("Twice the letters are twice as wide") {
  Image image = blank_image(40, 30, {1, 1, 1});
  Canvas canvas(image);
  const Lettering letters{14, {0, 0, 0}};
  const double once = canvas.width_of("infeed", letters), twice = canvas.width_of("infeedinfeed", letters);
  CHECK(once > 30);
  CHECK(twice == Approx(2 * once).epsilon(0.05));
}

TEST_CASE("A region's heart is as far from its rim as can be") {
  // Given an L of an upright 3 wide and a foot 9 × 9, on a field of 20 × 20
  std::vector<BodyId> bodies(400);
  for (int row = 0; row < 20; ++row)
    for (int column = 0; column < 20; ++column)
      if ((column >= 2 && column < 5 && row >= 1 && row < 10) || (column >= 2 && column < 11 && row >= 10 && row < 19))
        bodies[pixel_number(column, row, 20)] = BodyId(0);
  const auto found = hearts(bodies, 20, 2);
  CHECK(found.front().at == Vector2d(6, 14));
  CHECK(found.front().depth == 5);
  CHECK(found.front().pixels == 27 + 81);
  CHECK(found.back().pixels == 0);
}

TEST_CASE("A scale bar has a round length") {
  CHECK(round_length(1.0, 180) == 100);
  CHECK(round_length(2.0, 180) == 200);
  CHECK(round_length(3.0, 180) == 500);
  CHECK(round_length(0.01, 180) == 1);
  CHECK(round_length(0.0073, 180) == 1);
  CHECK(round_length(0.003, 180) == 0.5);
}
