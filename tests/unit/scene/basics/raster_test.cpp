// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/raster.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("cells of a raster are counted row by row, and a place leads back to its column and row") {
  // Given 3 columns and 2 rows: (2, 1) is the last of six.
  Raster<int> raster(3, 2, 4);
  CHECK(raster.size() == 6);
  CHECK(raster.place(0, 1) == 3);
  CHECK(raster.place(2, 1) == 5);
  raster.at(1, 1) = 8;
  CHECK(std::vector<int>(raster.begin(), raster.end()) == std::vector<int>{4, 4, 4, 4, 8, 4});
  CHECK(*(raster.row_begin(1) + 1) == 8);
  for (std::size_t place = 0; place < raster.size(); ++place)
    CHECK(raster.place(raster.column_of(place), raster.row_of(place)) == place);
}

TEST_CASE("rasters are alike only in the same shape") {
  CHECK(Raster<int>(3, 2, 1) == Raster<int>(3, 2, 1));
  CHECK_FALSE(Raster<int>(3, 2, 1) == Raster<int>(2, 3, 1));
  CHECK(Raster<int>().size() == 0);
}

TEST_CASE("the place of a cell far down a large picture does not run over") {
  // 20000 pixels a side and 3 samples a pixel: 60000 · 60000 is more than 32 bits hold.
  CHECK(raster_place(60000, 59999, 59999) == 3599999999U);
}
