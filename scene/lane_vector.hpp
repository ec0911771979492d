// SPDX-License-Identifier: GPL-3.0-or-later
// Three numbers of one lane. No branches: loops over lanes must stay one straight line to be vectorised.
#pragma once

#include "scene/lane_clones.hpp"
#include "scene/lanes.hpp"

namespace cellproof::lanes {

namespace {

struct Vector {
  double x, y, z;
};

CELLPROOF_IN_LANE Vector vector(const double (&v)[3]) {
  return {v[0], v[1], v[2]};
}
CELLPROOF_IN_LANE Vector vector(const Row (&v)[3], int lane) {
  return {v[0][lane], v[1][lane], v[2][lane]};
}
CELLPROOF_IN_LANE Vector operator-(Vector a, Vector b) {
  return {a.x - b.x, a.y - b.y, a.z - b.z};
}
CELLPROOF_IN_LANE Vector operator+(Vector a, Vector b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
CELLPROOF_IN_LANE Vector operator*(double s, Vector a) {
  return {s * a.x, s * a.y, s * a.z};
}
CELLPROOF_IN_LANE double dot(Vector a, Vector b) {
  return a.x * b.x + a.y * b.y + a.z * b.z;
}
CELLPROOF_IN_LANE Vector cross(Vector a, Vector b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
CELLPROOF_IN_LANE double magnitude(double a) {
  return __builtin_fabs(a);
}
CELLPROOF_IN_LANE double least(double a, double b) {
  return a < b ? a : b;
}
CELLPROOF_IN_LANE double most(double a, double b) {
  return a > b ? a : b;
}
CELLPROOF_IN_LANE double positive(double a) {
  return a > 0 ? a : 0;
}
CELLPROOF_IN_LANE double unit_share(double a) {
  return least(most(a, 0), 1);
}

/// A box of one lane, or the one box.
struct LaneBox {
  Vector centre, u, v, w;  ///< unit axes
  double hu, hv, hw;       ///< half extents
};

CELLPROOF_IN_LANE LaneBox lane_box(const Boxes& boxes, int lane) {
  return {vector(boxes.centre, lane),  vector(boxes.axes[0], lane), vector(boxes.axes[1], lane),
          vector(boxes.axes[2], lane), boxes.half[0][lane],         boxes.half[1][lane],
          boxes.half[2][lane]};
}

CELLPROOF_IN_LANE LaneBox lane_box(const OneBox& box) {
  return {vector(box.centre), vector(box.axes[0]), vector(box.axes[1]), vector(box.axes[2]),
          box.half[0],        box.half[1],         box.half[2]};
}

/// Half of the box's shadow on a direction, times the direction's length.
CELLPROOF_IN_LANE double reach(const LaneBox& box, Vector direction) {
  return magnitude(dot(box.u, direction)) * box.hu + magnitude(dot(box.v, direction)) * box.hv +
         magnitude(dot(box.w, direction)) * box.hw;
}

/// The furthest that a motion takes any point of a box along a direction, times the direction's length.
CELLPROOF_IN_LANE double travel(const LaneBox& box, Vector shift, Vector turn, Vector direction) {
  const Vector lever = cross(direction, turn);  // direction · (turn × p) = lever · p
  return magnitude(dot(direction, shift) + dot(lever, box.centre)) + reach(box, lever);
}

}  // namespace

}  // namespace cellproof::lanes
