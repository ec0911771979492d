// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/picking.hpp"

#include "tests/support/passing_hand.hpp"
#include "viewer/pictures/moment.hpp"

using namespace cellproof;
using test::body_named;
using test::passing_proof;
using test::swing_s;

namespace {

const auto all = [](BodyId) { return true; };

}  // namespace

TEST_CASE("The first body on the line is picked, its point rides along, and a corner within reach is taken") {
  const Scene& scene = *passing_proof().scene;
  const Moment start = moment_of(passing_proof(), 0, 0), middle = moment_of(passing_proof(), 0, 100 + swing_s / 2);
  // From above, beside the hand's own middle: the hand's back is at z 1050 (derived).
  const LookLine down{{792, 1, 1500}, {0, 0, -1}};
  const auto on_face = pick(
      scene, start.at, down, [&](BodyId body) { return body == body_named(scene, "hand"); }, 1);
  REQUIRE(on_face);
  CHECK_FALSE(on_face->on_corner);
  CHECK((in_world(scene, start.at, *on_face) - Vector3d(792, 1, 1050)).norm() < 1e-3);
  CHECK((in_world(scene, middle.at, *on_face) - in_world(scene, start.at, *on_face)).norm() > 200);

  const auto corner = pick(scene, start.at, {{799, 9, 1500}, {0, 0, -2}}, all, 3);
  REQUIRE(corner);
  CHECK(corner->on_corner);
  CHECK((in_world(scene, start.at, *corner) - Vector3d(800, 10, 1050)).norm() < 1e-6);
  CHECK_FALSE(pick(scene, start.at, {{0, 0, 3000}, {0, 0, 1}}, all, 3));
}

TEST_CASE("A ruler has two ends and begins anew with the third point") {
  const Scene& scene = *passing_proof().scene;
  const Moment start = moment_of(passing_proof(), 0, 0);
  const BodyId post = body_named(scene, "post");
  const PickedPoint a{post, {0, 0, 0}, false}, b{post, {30, 0, 40}, false};
  Ruler ruler = with_point({}, a);
  CHECK(ruler_text(scene, start.at, ruler, LengthUnit::mm).empty());
  ruler = with_point(ruler, b);
  CHECK(ruler_text(scene, start.at, ruler, LengthUnit::mm) == "50.00 mm (x 30.00, y 0.00, z 40.00)");
  // 50 / 25.4 (the inch is 25.4 mm by definition)
  CHECK(ruler_text(scene, start.at, ruler, LengthUnit::inch) == "1.9685 in (x 1.1811, y 0.0000, z 1.5748)");
  ruler = with_point(ruler, b);
  CHECK(ruler.from->in_body == b.in_body);
  CHECK_FALSE(ruler.to);
}
