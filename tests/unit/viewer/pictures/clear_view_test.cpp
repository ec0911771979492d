// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/clear_view.hpp"

#include "tests/support/passing_hand.hpp"
#include "viewer/pictures/moment.hpp"

using namespace cellproof;
using test::body_named;
using test::passing_proof;

namespace {

const auto all = [](BodyId) { return true; };

}  // namespace

TEST_CASE("What stands before a place is told, and a direction is found from which nothing does") {
  const Scene& scene = *passing_proof().scene;
  const Moment start = moment_of(passing_proof(), 0, 0);
  // A point on top of the post, seen from below through the table.
  const Vector3d point(763.1, 204.5, 1027);
  const auto before = bodies_before(scene, start.at, point - Vector3d(0, 0, 500), point, all, 1);
  REQUIRE(before.size() == 2);
  CHECK(before[0] == body_named(scene, "table"));
  CHECK(before[1] == body_named(scene, "post"));
  const Vector3d direction = clearest_direction(scene, start.at, point, {0, 1, 0}, 1000, all);
  CHECK(direction.z() < 0);
  CHECK(bodies_before(scene, start.at, point - 1000 * direction, point, all, 1).empty());
}
