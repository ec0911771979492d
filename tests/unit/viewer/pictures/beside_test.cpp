// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/beside.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("two pictures stand side by side, a bar between them, on paper where one is lower") {
  const Colour red{1, 0, 0}, blue{0, 0, 1};
  const Image both = beside(blank_image(30, 20, red), blank_image(10, 12, blue));
  CHECK(both.width == 44);
  CHECK(both.height == 20);
  CHECK(both.at(29, 19) == packed(red));
  CHECK(both.at(34, 11) == packed(blue));
  CHECK(both.at(43, 0) == packed(blue));
  CHECK(both.at(34, 12) != packed(blue));
  CHECK(both.at(31, 5) != packed(red));
}
