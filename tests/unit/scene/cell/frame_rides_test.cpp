// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/frame_rides.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

Body body_on(const std::string& name, const std::string& on) {
  Body body;
  body.name = name;
  body.placed.on = on;
  return body;
}

}  // namespace

TEST_CASE("what hangs on the flange rides on the arm, what lies on a part does not") {
  Cell cell;
  cell.arm.base.on = "pedestal";
  cell.bodies = {body_on("pedestal", "world"), body_on("gripper", "flange"), body_on("finger", "gripper"),
                 body_on("sticker", "blank")};
  Part blank;
  blank.name = "blank";
  cell.parts = {blank};
  const FrameRides rides = frame_rides(cell);
  CHECK(rides_on(rides, "finger", "base"));
  CHECK(rides_on(rides, "finger", "flange"));
  CHECK(rides_on(rides, "finger", "link1"));
  CHECK_FALSE(rides_on(rides, "base", "link1"));
  CHECK(rides_on(rides, "base", "pedestal"));
  CHECK_FALSE(rides_on(rides, "pedestal", "base"));
  CHECK_FALSE(rides_on(rides, "sticker", "base"));
  CHECK(rides_on(rides, "sticker", "blank"));
  CHECK(loop_through(rides, "finger").empty());
}

TEST_CASE("a loop is found through any of a slot's seats") {
  Cell cell;
  cell.bodies = {body_on("tray", "@slot"), body_on("plate", "tray")};
  Seat one, two;
  one.name = "one";
  two.name = "two";
  two.placed.on = "plate";
  cell.seats = {one, two};
  cell.cycle = CycleEntry{};
  cell.cycle->each = {{"@slot", {"one", "two"}}};
  const FrameRides rides = frame_rides(cell);
  CHECK(loop_through(rides, "tray") == std::vector<std::string>{"tray", "@slot", "two", "plate", "tray"});
  CHECK(loop_through(rides, "one").empty());
}
