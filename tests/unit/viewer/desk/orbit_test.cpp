// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/orbit.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

const ViewSize size{800, 600};

Box cube(double half) {
  Box box;
  box.add(Vector3d::Constant(-half));
  box.add(Vector3d::Constant(half));
  return box;
}

/// Where a point is seen, by the line of sight's inverse: found by its parts along right, up and direction.
Vector2d pixel_of(const Orbit& orbit, const Vector3d& point) {
  const Vector3d way = point - orbit.eye();
  const double scale = size.height / 2 / std::tan(view_angle / 2) / way.dot(orbit.direction());
  return {size.width / 2 + scale * way.dot(orbit.right()), size.height / 2 - scale * way.dot(orbit.up())};
}

}  // namespace

TEST_CASE("The line through the middle of the view goes to the point looked at") {
  const Orbit orbit{{10, 20, 30}, 0.7, 0.4, 500};
  const LookLine line = line_through(orbit, {400, 300}, size);
  CHECK((line.eye + 500 * line.direction - orbit.at).norm() < 1e-9);
}

TEST_CASE("The line through a pixel meets what is seen there") {
  const Orbit orbit{{10, 20, 30}, 2.1, 0.3, 500};
  for (const Vector3d& point : {Vector3d(100, -40, 60), Vector3d(-30, 90, 10)}) {
    const LookLine line = line_through(orbit, pixel_of(orbit, point), size);
    CHECK(line.direction.cross(point - line.eye).norm() / line.direction.norm() < 1e-9);
  }
}

TEST_CASE("A fitted box lies within the view from every side and nearly fills it") {
  for (const Side side : {Side::quarter, Side::front, Side::back, Side::left, Side::right, Side::top}) {
    const Orbit orbit = fitted(from_side(Orbit{}, side), cube(100), size.width / size.height);
    double furthest = 0;
    for (const Vector3d& corner : cube(100).corners()) {
      const Vector2d off = pixel_of(orbit, corner) - Vector2d(400, 300);
      furthest = std::max({furthest, std::abs(off.x()) / 400, std::abs(off.y()) / 300});
    }
    CHECK(furthest <= 1);
    CHECK(furthest > 0.85);
  }
}

TEST_CASE("In the window, from the front x runs right and z up, from the top y runs up") {
  const Orbit front = from_side(Orbit{}, Side::front), top = from_side(Orbit{}, Side::top);
  CHECK((front.right() - Vector3d::UnitX()).norm() < 1e-9);
  CHECK((front.up() - Vector3d::UnitZ()).norm() < 1e-9);
  CHECK((top.right() - Vector3d::UnitX()).norm() < 1e-9);
  CHECK((top.up() - Vector3d::UnitY()).norm() < 1e-9);
}

TEST_CASE("When the view is shifted the point looked at stays under the pointer") {
  const Orbit orbit{{10, 20, 30}, 0.7, 0.4, 500};
  const Orbit after = shifted(orbit, {60, -45, size.height});
  CHECK((pixel_of(after, orbit.at) - Vector2d(460, 255)).norm() < 1e-9);
}

TEST_CASE("Turning keeps the point and the distance, and ends upright above and below") {
  const Orbit orbit{{10, 20, 30}, 0.7, 0.4, 500};
  const Orbit after = turned(orbit, {120, 1e5, size.height});
  CHECK(after.at == orbit.at);
  CHECK((after.eye() - after.at).norm() == Approx(500));
  CHECK(after.dip == Approx(pi / 2));
  CHECK(turned(orbit, {0, -1e5, size.height}).dip == Approx(-pi / 2));
}

TEST_CASE("Zooming comes nearer by the click and never through the point") {
  CHECK(zoomed(Orbit{}, 1).distance < Orbit{}.distance);
  CHECK(zoomed(zoomed(Orbit{}, 3), -3).distance == Approx(Orbit{}.distance));
  CHECK(zoomed(Orbit{}, 1e4).distance > 0);
}
