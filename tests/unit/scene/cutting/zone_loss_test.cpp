// SPDX-License-Identifier: GPL-3.0-or-later
// What of a round suction zone on a plate a cut takes.
#include "scene/cutting/zone_loss.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/blocks.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

/// A zone of radius 20 at a height over the middle of a plate of 20 mm, whose top is at 10.
ZoneLoss loss_at(double height, const std::vector<ConvexSolid>& cutters) {
  Suction zone;
  zone.circle = 20;
  const Solid plate(box_mesh({100, 100, 20}));
  return zone_loss(zone, Pose(Eigen::Translation3d(0, 0, height)), plate, cutters);
}

}  // namespace

TEST_CASE("a cut through the middle takes half of a round zone and crosses its seal") {
  const ZoneLoss loss = loss_at(10, {block({0, -60, 5}, {60, 60, 50})});
  CHECK(loss.area_mm2 == Approx(pi * 400).epsilon(1e-3));
  CHECK(loss.lost_mm2 == Approx(pi * 200).epsilon(1e-3));
  CHECK(loss.seal_crossed);
}

TEST_CASE("a hole within the zone takes its area and leaves the seal") {
  const ZoneLoss loss = loss_at(10, {block({-5, -5, 5}, {5, 5, 50})});
  CHECK(loss.lost_mm2 == Approx(100).epsilon(1e-4));
  CHECK_FALSE(loss.seal_crossed);
}

TEST_CASE("cuts that overlap take what they share once") {
  CHECK(loss_at(10, {block({-5, -5, 5}, {5, 5, 50}), block({-5, -5, 5}, {5, 5, 50})}).lost_mm2 ==
        Approx(100).epsilon(1e-4));
}

TEST_CASE("a cut that misses the seal plane, and a zone that the plate does not bear, lose nothing") {
  CHECK(loss_at(10, {block({-5, -5, -5}, {5, 5, 5})}).lost_mm2 == 0);
  CHECK(loss_at(60, {block({-5, -5, 5}, {5, 5, 90})}).lost_mm2 == 0);
}
