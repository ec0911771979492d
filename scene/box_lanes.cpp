// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/box_lanes.hpp"

#include "scene/lane_vector.hpp"

namespace cellproof::lanes {

namespace {

/// No motion: nothing travels.
struct Still {
  CELLPROOF_IN_LANE double operator()(const LaneBox&, const LaneBox&, Vector) const { return 0; }
};
struct FirstMoves {
  Vector shift, turn;
  CELLPROOF_IN_LANE double operator()(const LaneBox& a, const LaneBox&, Vector direction) const {
    return travel(a, shift, turn, direction);
  }
};
struct SecondMoves {
  Vector shift, turn;
  CELLPROOF_IN_LANE double operator()(const LaneBox&, const LaneBox& b, Vector direction) const {
    return travel(b, shift, turn, direction);
  }
};

/// Gap of shadows on a direction, times its length, whatever the motion does; less than 0 where they overlap.
template <class Travel>
CELLPROOF_IN_LANE double gap(const LaneBox& a, const LaneBox& b, Vector between, Vector direction,
                             const Travel& moved) {
  return magnitude(dot(between, direction)) - reach(a, direction) - reach(b, direction) - moved(a, b, direction);
}

/// On an axis of one of the boxes, which reaches its half extent there.
template <class Travel>
CELLPROOF_IN_LANE double gap_on_axis(Vector axis, double half, const LaneBox& other, double between, const LaneBox& a,
                                     const LaneBox& b, const Travel& moved) {
  return magnitude(between) - half - reach(other, axis) - moved(a, b, axis);
}

CELLPROOF_IN_LANE double positive_squared(double a) {
  return positive(a) * positive(a);
}

/// Boxes apart along three square directions are apart by the root of the sum of squares.
template <class Travel>
CELLPROOF_IN_LANE double squared_gap(const LaneBox& a, const LaneBox& b, Vector direction, const Travel& moved) {
  const Vector between = b.centre - a.centre;
  const double by_a = positive_squared(gap_on_axis(a.u, a.hu, b, dot(between, a.u), a, b, moved)) +
                      positive_squared(gap_on_axis(a.v, a.hv, b, dot(between, a.v), a, b, moved)) +
                      positive_squared(gap_on_axis(a.w, a.hw, b, dot(between, a.w), a, b, moved));
  const double by_b = positive_squared(gap_on_axis(b.u, b.hu, a, dot(between, b.u), a, b, moved)) +
                      positive_squared(gap_on_axis(b.v, b.hv, a, dot(between, b.v), a, b, moved)) +
                      positive_squared(gap_on_axis(b.w, b.hw, a, dot(between, b.w), a, b, moved));
  const double by_direction = gap(a, b, between, direction, moved), by_middles = gap(a, b, between, between, moved);
  const double apart = most(dot(between, between), 1e-300);
  const double by_lines = most(by_direction * magnitude(by_direction), by_middles * magnitude(by_middles) / apart);
  const double by_axes = most(by_a, by_b);
  return by_axes > 0 ? most(by_axes, by_lines) : by_lines;
}

}  // namespace

CELLPROOF_LANE_CLONES
void squared_gaps(const Boxes& boxes, const OneBox& one, const double (&direction)[3], Row& squared) {
  const LaneBox b = lane_box(one);
  const Vector d = vector(direction);
  for (int lane = 0; lane < count; ++lane) squared[lane] = squared_gap(lane_box(boxes, lane), b, d, Still{});
}

CELLPROOF_LANE_CLONES
void squared_gaps_moved_boxes(const Boxes& boxes, const OneBox& one, const double (&direction)[3], const Motion& motion,
                              Row& squared) {
  const LaneBox b = lane_box(one);
  const Vector d = vector(direction);
  const FirstMoves moved{vector(motion.shift), vector(motion.turn)};
  for (int lane = 0; lane < count; ++lane) squared[lane] = squared_gap(lane_box(boxes, lane), b, d, moved);
}

CELLPROOF_LANE_CLONES
void squared_gaps_moved_one(const Boxes& boxes, const OneBox& one, const double (&direction)[3], const Motion& motion,
                            Row& squared) {
  const LaneBox b = lane_box(one);
  const Vector d = vector(direction);
  const SecondMoves moved{vector(motion.shift), vector(motion.turn)};
  for (int lane = 0; lane < count; ++lane) squared[lane] = squared_gap(lane_box(boxes, lane), b, d, moved);
}

}  // namespace cellproof::lanes
