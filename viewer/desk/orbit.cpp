// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/orbit.hpp"

#include <algorithm>
#include <cmath>

#include "viewer/pictures/parallel_eye.hpp"

namespace cellproof {

namespace {

constexpr double steepest = pi / 2;

double half_height(double distance) {
  return distance * std::tan(view_angle / 2);
}

}  // namespace

Vector3d Orbit::direction() const {
  return {std::cos(heading) * std::cos(dip), std::sin(heading) * std::cos(dip), -std::sin(dip)};
}

Vector3d Orbit::right() const {
  return {std::sin(heading), -std::cos(heading), 0};
}

Vector3d Orbit::up() const {
  return right().cross(direction());
}

Orbit turned(Orbit orbit, const PointerWay& way) {
  orbit.heading -= pi * way.right / way.view_height;
  orbit.dip = std::clamp(orbit.dip + pi * way.down / way.view_height, -steepest, steepest);
  return orbit;
}

Orbit shifted(Orbit orbit, const PointerWay& way) {
  const double scale = 2 * half_height(orbit.distance) / way.view_height;
  orbit.at += scale * (way.down * orbit.up() - way.right * orbit.right());
  return orbit;
}

Orbit zoomed(Orbit orbit, double clicks) {
  constexpr double a_click = 0.88, nearest = 5, furthest = 1e6;
  orbit.distance = std::clamp(orbit.distance * std::pow(a_click, clicks), nearest, furthest);
  return orbit;
}

Orbit fitted(Orbit orbit, const Box& box, double width_over_height) {
  if (!(box.low.array() <= box.high.array()).all()) return orbit;
  orbit.at = (box.low + box.high) / 2;
  const double rise = std::tan(view_angle / 2), run = rise * width_over_height;
  orbit.distance = 0;
  for (const Vector3d& corner : box.corners()) {
    const Vector3d way = corner - orbit.at;
    const double wide = std::abs(way.dot(orbit.right())) / run, high = std::abs(way.dot(orbit.up())) / rise;
    orbit.distance = std::max(orbit.distance, std::max(wide, high) - way.dot(orbit.direction()));
  }
  constexpr double room = 1.04;
  orbit.distance *= room;
  return orbit;
}

Orbit looking_along(Orbit orbit, const Vector3d& direction) {
  const Vector3d unit = direction.normalized();
  orbit.dip = std::asin(std::clamp(-unit.z(), -1.0, 1.0));
  constexpr double upright = 1e-9;
  orbit.heading = unit.head<2>().norm() > upright ? std::atan2(unit.y(), unit.x()) : pi / 2;
  return orbit;
}

Orbit from_side(Orbit orbit, Side side) {
  return looking_along(orbit, direction_from(side));
}

LookLine line_through(const Orbit& orbit, const Vector2d& pixel, const ViewSize& size) {
  const double scale = 2 * std::tan(view_angle / 2) / size.height;
  const double across = scale * (pixel.x() - size.width / 2), down = scale * (pixel.y() - size.height / 2);
  return {orbit.eye(), orbit.direction() + across * orbit.right() - down * orbit.up()};
}

double mm_per_pixel(const Orbit& orbit, const ViewSize& size) {
  return 2 * half_height(orbit.distance) / size.height;
}

}  // namespace cellproof
