// SPDX-License-Identifier: GPL-3.0-or-later
// A piece of a line over which the acceleration is constant, and what the joints allow on it.
#pragma once

#include "kinematics/motion/path.hpp"
#include "kinematics/motion/rate_limits.hpp"

namespace cellproof {

/// What the tool limits allow along the whole line: ds/dt (1/s) and d2s/dt2 (1/s²).
struct ToolPace {
  double rate = 0, rate_change = 0;
};

/// Known at both ends and half way.
struct PathSpan {
  ShapePoint from, middle, to;
  double length() const { return to.s - from.s; }
};

/// All limits that can bind. Between the three points a joint's speed and acceleration are those of a smooth curve:
/// what it may rise above them is estimated from its second differences, doubled and taken off the limit.
/// Squared rates as shares of pace.rate².
std::vector<RateLimit> limits_over(const Arm& arm, const PathSpan& span, const ToolPace& pace);

/// Squared rates at the two ends of a span, as shares.
struct EndRates {
  double from = 0, to = 0;
};

/// The joint that is nearest to one of its limits on a span.
struct NearestLimit {
  int joint = -1;
  double share = 0;  ///< 1: at the limit
  bool of_speed = false;
};
NearestLimit nearest_limit_on(const Arm& arm, const PathSpan& span, const ToolPace& pace, const EndRates& rates);

/// How far cubics through q' and q'' at both ends of a span miss them half way: what the curve may hide between its
/// points, as shares of the joints' limits.
struct Roughness {
  double speed = 0;           ///< times the rate: a share of a speed limit
  double by_rate_change = 0;  ///< times d2s/dt2: a share of an acceleration limit
  double by_rate = 0;         ///< times the squared rate: the same
  double share_at(const ToolPace& pace, const EndRates& rates, double length) const;
};
Roughness roughness_of(const Arm& arm, const PathSpan& span);

/// The margin that limits_over takes off, in the same form: what a span costs by being long.
Roughness margin_of(const Arm& arm, const PathSpan& span);

/// The greatest d2s/dt2 in a direction (+1: speeding up, −1: slowing down; positive either way) at a point of the
/// path, at a squared rate given as a share. Zero if the joints can't go that fast there.
double steepest_at(const Arm& arm, const PathPoint& point, const ToolPace& pace, double squared_rate, int direction);

}  // namespace cellproof
