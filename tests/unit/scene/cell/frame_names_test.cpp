// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/frame_names.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("a grid's seats are counted along x first, then y") {
  Seat rack;
  rack.name = "rack";
  rack.grid = Grid{4, 3, {240, 160}};
  const auto names = seat_names(rack);
  REQUIRE(names.size() == 12);
  CHECK(names.front() == "rack 1");
  CHECK(names.back() == "rack 12");
  CHECK(grid_offset(rack, 0).translation() == Vector3d(0, 0, 0));
  CHECK(grid_offset(rack, 3).translation() == Vector3d(720, 0, 0));
  CHECK(grid_offset(rack, 4).translation() == Vector3d(0, 160, 0));
  CHECK(grid_offset(rack, 11).translation() == Vector3d(720, 320, 0));
}

TEST_CASE("a seat without a grid is one seat where it is") {
  Seat seat;
  seat.name = "fixture seat";
  CHECK(seat_names(seat) == std::vector<std::string>{"fixture seat"});
  CHECK(grid_offset(seat, 0).isApprox(Pose::Identity()));
}

TEST_CASE("slots and reserved words") {
  CHECK(is_slot("@slot"));
  CHECK_FALSE(is_slot("slot"));
  CHECK_FALSE(is_slot(""));
  CHECK(is_reserved("link6"));
  CHECK(is_reserved("end effector"));
  CHECK_FALSE(is_reserved("link7"));
}
