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

/// Known at both ends and half way, with bounds on the third and fourth derivative all the way.
struct PathSpan {
  ShapePoint from, middle, to;
  PieceBend bend;
  double length() const { return to.s - from.s; }
};

/// All limits that can bind. What a joint's speed and acceleration may rise above the three points between them is
/// bounded by the next two derivatives and taken off the limit. Squared rates as shares of pace.rate².
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

/// What limits_over takes off the limits for what lies between the points, as shares of the joints' limits: what a span
/// costs by being long.
struct SpanMargin {
  double speed = 0;           ///< times the rate: a share of a speed limit
  double by_rate_change = 0;  ///< times d2s/dt2: a share of an acceleration limit
  double by_rate = 0;         ///< times the squared rate: the same
  double share_at(const ToolPace& pace, const EndRates& rates, double length) const;
};
SpanMargin margin_of(const Arm& arm, const PathSpan& span);

/// The greatest d2s/dt2 in a direction (+1: speeding up, −1: slowing down; positive either way) at a point of the
/// path, at a squared rate given as a share. Zero if the joints can't go that fast there.
double steepest_at(const Arm& arm, const PathPoint& point, const ToolPace& pace, double squared_rate, int direction);

}  // namespace cellproof
