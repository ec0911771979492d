// SPDX-License-Identifier: GPL-3.0-or-later
// A cut through faces that parts touch is told.
#include "checks/studies/relief_touch.hpp"

#include <catch2/catch.hpp>

#include "scene/cycle/plan.hpp"
#include "scene/mesh/primitives.hpp"
#include "scene/with_mesh.hpp"
#include "tests/support/jaw_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

std::vector<TouchLoss> losses_with(const std::string& body, const Vector3d& left_of_it) {
  const Scene before = scene_of(JawCell().text());
  const BodyId number = body_named(before, body);
  const auto touches = touches_of(before, plan_cycle(before), number);
  return touch_losses(before, with_mesh(before, number, box_mesh(left_of_it)), number, touches);
}

}  // namespace

TEST_CASE("a finger cut shorter loses of its pad what no longer meets the part") {
  // 15 below the block's top at 20 wide; 10 shorter at either end it is 5
  const auto losses = losses_with("right finger", {10, 20, 20});
  REQUIRE(losses.size() == 1);
  CHECK(losses[0].grip);
  CHECK(losses[0].part == "block");
  CHECK(losses[0].step == "pick");
  CHECK(losses[0].before_mm2 == Approx(300));
  CHECK(losses[0].after_mm2 == Approx(100));
}

TEST_CASE("a finger cut where it touches nothing loses nothing") {
  CHECK(losses_with("right finger", {10, 20, 40}).empty());
}

TEST_CASE("a stand cut smaller than the part carries it on less") {
  // the block is 30 x 100
  const auto losses = losses_with("stand", {300, 80, 90});
  REQUIRE(losses.size() == 1);
  CHECK_FALSE(losses[0].grip);
  CHECK(losses[0].step.empty());
  CHECK(losses[0].before_mm2 == Approx(3000));
  CHECK(losses[0].after_mm2 == Approx(2400));
}
