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

/// Gap of shadows on a direction, times its length, whatever the motion does.
template <class Travel>
CELLPROOF_IN_LANE double gap(const LaneBox& a, const LaneBox& b, Vector between, Vector direction,
                             const Travel& moved) {
  return positive(magnitude(dot(between, direction)) - reach(a, direction) - reach(b, direction) -
                  moved(a, b, direction));
}

CELLPROOF_IN_LANE double sum_of_squares(double a, double b, double c) {
  return a * a + b * b + c * c;
}

/// Boxes apart along three square directions are apart by the root of the sum of squares.
template <class Travel>
CELLPROOF_IN_LANE double squared_gap(const LaneBox& a, const LaneBox& b, Vector direction, const Travel& moved) {
  const Vector between = b.centre - a.centre;
  const double by_a =
      sum_of_squares(gap(a, b, between, a.u, moved), gap(a, b, between, a.v, moved), gap(a, b, between, a.w, moved));
  const double by_b =
      sum_of_squares(gap(a, b, between, b.u, moved), gap(a, b, between, b.v, moved), gap(a, b, between, b.w, moved));
  const double by_direction = gap(a, b, between, direction, moved);
  const double by_middles = gap(a, b, between, between, moved);
  const double apart = most(dot(between, between), 1e-300);
  return most(most(by_a, by_b), most(by_direction * by_direction, by_middles * by_middles / apart));
}

/// Gap of the shadows of a triangle and a box on a unit direction; `p`, `q`, `r` from the box's middle, `tp`, `tq`,
/// `tr` what the corners may travel along the direction.
CELLPROOF_IN_LANE double corner_gap(double p, double q, double r, double tp, double tq, double tr, double half) {
  const double low = least(least(p - tp, q - tq), r - tr), high = most(most(p + tp, q + tq), r + tr);
  return positive(most(low, -high) - half);
}

struct LaneTriangle {
  Vector p, q, r;
};

struct CornersStill {
  CELLPROOF_IN_LANE double operator()(Vector, Vector) const { return 0; }
};
struct CornersMove {
  Vector shift, turn;
  CELLPROOF_IN_LANE double operator()(Vector point, Vector direction) const {
    return magnitude(dot(direction, shift + cross(turn, point)));
  }
};

template <class Travel>
CELLPROOF_IN_LANE double corner_gap(const LaneTriangle& t, Vector centre, Vector direction, double half,
                                    const Travel& moved) {
  return corner_gap(dot(t.p - centre, direction), dot(t.q - centre, direction), dot(t.r - centre, direction),
                    moved(t.p, direction), moved(t.q, direction), moved(t.r, direction), half);
}

template <class Travel>
CELLPROOF_IN_LANE double squared_gap(const LaneTriangle& t, const LaneBox& box, Vector direction,
                                     double reach_along_direction, const Travel& moved) {
  const double by_box =
      sum_of_squares(corner_gap(t, box.centre, box.u, box.hu, moved), corner_gap(t, box.centre, box.v, box.hv, moved),
                     corner_gap(t, box.centre, box.w, box.hw, moved));
  const double by_direction = corner_gap(t, box.centre, direction, reach_along_direction, moved);
  return most(by_box, by_direction * by_direction);
}

CELLPROOF_IN_LANE LaneTriangle lane_triangle(const Triangles& triangles, int lane) {
  return {vector(triangles.corner[0], lane), vector(triangles.corner[1], lane), vector(triangles.corner[2], lane)};
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

CELLPROOF_LANE_CLONES
void squared_gaps(const Triangles& triangles, const OneBox& one, const double (&direction)[3], Row& squared) {
  const LaneBox b = lane_box(one);
  const Vector d = vector(direction);
  const double along = reach(b, d);
  for (int lane = 0; lane < count; ++lane)
    squared[lane] = squared_gap(lane_triangle(triangles, lane), b, d, along, CornersStill{});
}

CELLPROOF_LANE_CLONES
void squared_gaps_moved(const Triangles& triangles, const OneBox& one, const double (&direction)[3],
                        const Motion& motion, Row& squared) {
  const LaneBox b = lane_box(one);
  const Vector d = vector(direction);
  const double along = reach(b, d);
  const CornersMove moved{vector(motion.shift), vector(motion.turn)};
  for (int lane = 0; lane < count; ++lane)
    squared[lane] = squared_gap(lane_triangle(triangles, lane), b, d, along, moved);
}

}  // namespace cellproof::lanes
