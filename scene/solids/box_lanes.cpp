// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/box_lanes.hpp"

#include "kinematics/lane_vector.hpp"

namespace cellproof::lanes {

namespace {

using FloatVector = VectorOf<float>;

CELLPROOF_IN_LANE FloatVector rounded(const double (&v)[3]) {
  return {static_cast<float>(v[0]), static_cast<float>(v[1]), static_cast<float>(v[2])};
}
CELLPROOF_IN_LANE FloatVector lane_vector(const FloatRow (&v)[3], int lane) {
  return {v[0][lane], v[1][lane], v[2][lane]};
}

/// A box of one lane, or the one box.
struct LaneBox {
  FloatVector centre, u, v, w;  ///< unit axes
  float hu, hv, hw;             ///< half extents
};

CELLPROOF_IN_LANE LaneBox lane_box(const Boxes& boxes, int lane) {
  return {lane_vector(boxes.centre, lane),
          lane_vector(boxes.axes[0], lane),
          lane_vector(boxes.axes[1], lane),
          lane_vector(boxes.axes[2], lane),
          boxes.half[0][lane],
          boxes.half[1][lane],
          boxes.half[2][lane]};
}

CELLPROOF_IN_LANE LaneBox lane_box(const OneBox& box) {
  const FloatVector half = rounded(box.half);
  return {
      rounded(box.centre), rounded(box.axes[0]), rounded(box.axes[1]), rounded(box.axes[2]), half.x, half.y, half.z};
}

/// Half of the box's shadow on a direction, times the direction's length.
CELLPROOF_IN_LANE float reach(const LaneBox& box, FloatVector direction) {
  return magnitude(dot(box.u, direction)) * box.hu + magnitude(dot(box.v, direction)) * box.hv +
         magnitude(dot(box.w, direction)) * box.hw;
}

CELLPROOF_IN_LANE float spread(FloatVector a) {
  return magnitude(a.x) + magnitude(a.y) + magnitude(a.z);
}

/// The furthest that any coordinate of the box lies from the origin, and more.
CELLPROOF_IN_LANE float extent(const LaneBox& box) {
  return spread(box.centre) + box.hu + box.hv + box.hw;
}

/// More than what rounding adds up to in any gap: each number is rounded a handful of times, by 2^-24.
constexpr float rounding = 1e-6F;

/// The furthest that a motion takes any point of a box along a direction, times the direction's length.
CELLPROOF_IN_LANE float travel(const LaneBox& box, FloatVector shift, FloatVector turn, FloatVector direction) {
  const FloatVector lever = cross(direction, turn);  // direction · (turn × p) = lever · p
  return magnitude(dot(direction, shift) + dot(lever, box.centre)) + reach(box, lever);
}

CELLPROOF_IN_LANE float travel_rounding(const LaneBox& box, FloatVector shift, FloatVector turn) {
  return rounding * (spread(shift) + spread(turn) * extent(box));
}

/// No motion: nothing travels.
struct Still {
  CELLPROOF_IN_LANE float operator()(const LaneBox&, const LaneBox&, FloatVector) const { return 0; }
  CELLPROOF_IN_LANE float slack(const LaneBox&, const LaneBox&) const { return 0; }
};
struct FirstMoves {
  FloatVector shift, turn;
  CELLPROOF_IN_LANE float operator()(const LaneBox& a, const LaneBox&, FloatVector direction) const {
    return travel(a, shift, turn, direction);
  }
  CELLPROOF_IN_LANE float slack(const LaneBox& a, const LaneBox&) const { return travel_rounding(a, shift, turn); }
};
struct SecondMoves {
  FloatVector shift, turn;
  CELLPROOF_IN_LANE float operator()(const LaneBox&, const LaneBox& b, FloatVector direction) const {
    return travel(b, shift, turn, direction);
  }
  CELLPROOF_IN_LANE float slack(const LaneBox&, const LaneBox& b) const { return travel_rounding(b, shift, turn); }
};

/// Gap of shadows on a direction, times its length, whatever the motion does; less than 0 where they overlap.
template <class Travel>
CELLPROOF_IN_LANE float gap(const LaneBox& a, const LaneBox& b, FloatVector between, FloatVector direction,
                            const Travel& moved) {
  return magnitude(dot(between, direction)) - reach(a, direction) - reach(b, direction) - moved(a, b, direction);
}

CELLPROOF_IN_LANE float positive_squared(float a) {
  return positive(a) * positive(a);
}

/// Boxes apart along three square directions are apart by the root of the sum of squares.
template <class Travel>
CELLPROOF_IN_LANE float squared_gap(const LaneBox& a, const LaneBox& b, FloatVector direction, const Travel& moved) {
  const FloatVector between = b.centre - a.centre;
  const float slack = rounding * (extent(a) + extent(b)) + moved.slack(a, b);
  const auto on_a = [&](FloatVector axis, float half) CELLPROOF_LAMBDA_IN_LANE {
    return positive_squared(magnitude(dot(between, axis)) - half - reach(b, axis) - moved(a, b, axis) - slack);
  };
  const auto on_b = [&](FloatVector axis, float half) CELLPROOF_LAMBDA_IN_LANE {
    return positive_squared(magnitude(dot(between, axis)) - half - reach(a, axis) - moved(a, b, axis) - slack);
  };
  const float by_a = on_a(a.u, a.hu) + on_a(a.v, a.hv) + on_a(a.w, a.hw);
  const float by_b = on_b(b.u, b.hu) + on_b(b.v, b.hv) + on_b(b.w, b.hw);
  const float by_direction = gap(a, b, between, direction, moved) - slack;
  const float by_middles = gap(a, b, between, between, moved) - slack * spread(between);
  const float apart = most(dot(between, between), 1e-30F);
  const float by_lines = most(by_direction * magnitude(by_direction), by_middles / apart * magnitude(by_middles));
  const float by_axes = most(by_a, by_b);
  const float nearer_side = 1 - rounding;
  return nearer_side * (by_axes > 0 ? most(by_axes, by_lines) : by_lines);
}

CELLPROOF_IN_LANE unsigned below(const FloatRow& numbers, float limit) {
  unsigned bits = 0;
  for (int lane = 0; lane < count; ++lane) bits |= static_cast<unsigned>(numbers[lane] < limit) << lane;
  return bits;
}

}  // namespace

float float_above(double number) {
  if (number > __FLT_MAX__) return __builtin_inff();
  const auto rounded = static_cast<float>(number);
  return rounded < number ? __builtin_nextafterf(rounded, __builtin_inff()) : rounded;
}

CELLPROOF_LANE_CLONES
unsigned squared_gaps(const Boxes& boxes, const OneBox& one, const double (&direction)[3], float limit,
                      FloatRow& squared) {
  const LaneBox b = lane_box(one);
  const FloatVector d = rounded(direction);
  for (int lane = 0; lane < count; ++lane) squared[lane] = squared_gap(lane_box(boxes, lane), b, d, Still{});
  return below(squared, limit);
}

CELLPROOF_LANE_CLONES
unsigned squared_gaps_moved_boxes(const Boxes& boxes, const OneBox& one, const double (&direction)[3],
                                  const Drift& motion, float limit, FloatRow& squared) {
  const LaneBox b = lane_box(one);
  const FloatVector d = rounded(direction);
  const FirstMoves moved{rounded(motion.shift), rounded(motion.turn)};
  for (int lane = 0; lane < count; ++lane) squared[lane] = squared_gap(lane_box(boxes, lane), b, d, moved);
  return below(squared, limit);
}

CELLPROOF_LANE_CLONES
unsigned squared_gaps_moved_one(const Boxes& boxes, const OneBox& one, const double (&direction)[3],
                                const Drift& motion, float limit, FloatRow& squared) {
  const LaneBox b = lane_box(one);
  const FloatVector d = rounded(direction);
  const SecondMoves moved{rounded(motion.shift), rounded(motion.turn)};
  for (int lane = 0; lane < count; ++lane) squared[lane] = squared_gap(lane_box(boxes, lane), b, d, moved);
  return below(squared, limit);
}

}  // namespace cellproof::lanes
