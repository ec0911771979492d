// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/path_span.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {
namespace {

/// Kept from the joints' limits, for rounding.
constexpr double within = 1 - 1e-6;
/// On what is estimated between points.
constexpr double caution = 2;

JointLimits held(const JointLimits& limit) {
  return {limit.min, limit.max, within * limit.speed, within * limit.acceleration};
}

/// One joint on a span: first and second derivatives by s at its start, middle and end.
struct JointOnSpan {
  std::array<double, 3> first, second;
  double length;

  JointOnSpan(const PathSpan& span, int joint) : length(span.length()) {
    const std::array<const PathPoint*, 3> points{&span.from.point, &span.middle.point, &span.to.point};
    for (std::size_t k = 0; k < 3; ++k) {
      first[k] = points[k]->first[joint];
      second[k] = points[k]->second[joint];
    }
  }
  /// The greatest change of q'' over half the span, and its second difference.
  double step() const { return std::max(std::abs(second[1] - second[0]), std::abs(second[2] - second[1])); }
  /// What speed (times the rate) and acceleration (times d2s/dt2 and the squared rate) may rise above the three points.
  double speed_rise() const { return caution * length * step() / 16; }
  double rise_by_change() const { return caution * length * (5 * step() / 16 + bend() / 4); }
  double rise_by_rate() const { return caution * bend() / 8; }
  double bend() const { return std::abs(second[0] - 2 * second[1] + second[2]); }
  /// |q'| at point k, with what a squared rate that runs evenly may gain on its bound V²/q'² between points.
  double speed_factor(std::size_t k) const {
    const double greatest = std::max({std::abs(first[0]), std::abs(first[1]), std::abs(first[2])});
    if (greatest <= 0) return 0;
    const double rise = speed_rise(), here = std::abs(first[k]);
    const double chord = caution * 3 * length * length * second[k] * second[k] / 32;
    return rise + (chord < here * (greatest - here) ? here + chord / here : greatest);
  }
};

void keep(std::vector<RateLimit>& limits, const RateLimit& limit) {
  if (std::max(limit.from, 0.0) + std::max(limit.to, 0.0) > 1) limits.push_back(limit);
}

/// Leaves out what another limit holds anyway: rates are never negative.
std::vector<RateLimit> decisive(std::vector<RateLimit> limits) {
  std::sort(limits.begin(), limits.end(),
            [](const RateLimit& a, const RateLimit& b) { return a.from != b.from ? a.from > b.from : a.to > b.to; });
  std::vector<RateLimit> kept;
  for (const RateLimit& limit : limits)
    if (kept.empty() || limit.to > kept.back().to) kept.push_back(limit);
  return kept;
}

void add_speed_limits(std::vector<RateLimit>& limits, const JointOnSpan& joint, double rate_over_limit) {
  for (std::size_t k = 0; k < 3; ++k) {
    const double share = static_cast<double>(k) / 2, factor = joint.speed_factor(k) * rate_over_limit;
    keep(limits, {(1 - share) * factor * factor, share * factor * factor});
  }
}

/// |q' u + q'' x| <= A at the three points, u = (q − p)/2Δ, x between p and q; what a curve through the three may rise
/// above them is |5 q''' u + q'''' x| Δ²/32.
void add_acceleration_limits(std::vector<RateLimit>& limits, const JointOnSpan& joint, double squared_rate_over_limit) {
  const double by_change = squared_rate_over_limit / (2 * joint.length);
  const double rise_by_change = by_change * joint.rise_by_change();
  const double rise_by_rate = squared_rate_over_limit * joint.rise_by_rate();
  for (std::size_t k = 0; k < 3; ++k) {
    const double share = static_cast<double>(k) / 2;
    const RateLimit at{-joint.first[k] * by_change + joint.second[k] * squared_rate_over_limit * (1 - share),
                       joint.first[k] * by_change + joint.second[k] * squared_rate_over_limit * share};
    for (const double sign : {1.0, -1.0}) {
      for (const double rise : {rise_by_change, -rise_by_change}) {
        keep(limits, {sign * at.from - rise + rise_by_rate / 2, sign * at.to + rise + rise_by_rate / 2});
      }
    }
  }
}

/// The squared rate half way, and the acceleration, in units of time.
struct SpanRun {
  std::array<double, 3> squared_rate;
  double change;
  SpanRun(const PathSpan& span, const ToolPace& pace, const EndRates& rates) {
    const double unit = pace.rate * pace.rate;
    squared_rate = {unit * rates.from, unit * (rates.from + rates.to) / 2, unit * rates.to};
    change = (squared_rate[2] - squared_rate[0]) / (2 * span.length());
  }
};

}  // namespace

std::vector<RateLimit> limits_over(const Arm& arm, const PathSpan& span, const ToolPace& pace) {
  std::vector<RateLimit> limits;
  for (int j = 0; j < 6; ++j) {
    const JointOnSpan joint(span, j);
    const JointLimits limit = held(arm.limits[j]);
    add_speed_limits(limits, joint, pace.rate / limit.speed);
    add_acceleration_limits(limits, joint, pace.rate * pace.rate / limit.acceleration);
  }
  const double change = pace.rate * pace.rate / (2 * span.length() * pace.rate_change);
  keep(limits, {-change, change});
  keep(limits, {change, -change});
  return decisive(std::move(limits));
}

NearestLimit nearest_limit_on(const Arm& arm, const PathSpan& span, const ToolPace& pace, const EndRates& rates) {
  const SpanRun run(span, pace, rates);
  NearestLimit nearest;
  for (int j = 0; j < 6; ++j) {
    const JointOnSpan joint(span, j);
    const JointLimits& limit = arm.limits[j];
    for (std::size_t k = 0; k < 3; ++k) {
      const double speed = std::abs(joint.first[k]) * std::sqrt(run.squared_rate[k]) / limit.speed;
      const double acceleration =
          std::abs(joint.first[k] * run.change + joint.second[k] * run.squared_rate[k]) / limit.acceleration;
      if (speed > nearest.share) nearest = {j, speed, true};
      if (acceleration > nearest.share) nearest = {j, acceleration, false};
    }
  }
  return nearest;
}

Roughness roughness_of(const Arm& arm, const PathSpan& span) {
  const double length = span.length();
  const PathPoint &from = span.from.point, &middle = span.middle.point, &to = span.to.point;
  const Joints first = (from.first + to.first) / 2 + length * (from.second - to.second) / 8;
  const Joints second = 1.5 * (to.first - from.first) / length - 0.25 * (from.second + to.second);
  Roughness roughness;
  for (int j = 0; j < 6; ++j) {
    const JointLimits& limit = arm.limits[j];
    const double first_miss = std::abs(first[j] - middle.first[j]),
                 second_miss = std::abs(second[j] - middle.second[j]);
    roughness.speed = std::max(roughness.speed, first_miss / limit.speed);
    roughness.by_rate_change = std::max(roughness.by_rate_change, first_miss / limit.acceleration);
    roughness.by_rate = std::max(roughness.by_rate, second_miss / limit.acceleration);
  }
  return roughness;
}

Roughness margin_of(const Arm& arm, const PathSpan& span) {
  Roughness margin;
  for (int j = 0; j < 6; ++j) {
    const JointOnSpan joint(span, j);
    const JointLimits& limit = arm.limits[j];
    margin.speed = std::max(margin.speed, joint.speed_rise() / limit.speed);
    margin.by_rate_change = std::max(margin.by_rate_change, joint.rise_by_change() / limit.acceleration);
    margin.by_rate = std::max(margin.by_rate, joint.rise_by_rate() / limit.acceleration);
  }
  return margin;
}

double Roughness::share_at(const ToolPace& pace, const EndRates& rates, double length) const {
  const double unit = pace.rate * pace.rate, squared_rate = unit * std::max(rates.from, rates.to);
  const double change = unit * std::abs(rates.to - rates.from) / (2 * length);
  return std::max(speed * std::sqrt(squared_rate), by_rate_change * change + by_rate * squared_rate);
}

double steepest_at(const Arm& arm, const PathPoint& point, const ToolPace& pace, double squared_rate, int direction) {
  double steepest = pace.rate_change;
  for (int j = 0; j < 6; ++j) {
    const double by_change = std::abs(point.first[j]), limit = held(arm.limits[j]).acceleration;
    const double by_rate =
        (point.first[j] < 0 ? -1 : 1) * direction * point.second[j] * squared_rate * pace.rate * pace.rate;
    if (by_change * steepest > limit - by_rate) steepest = (limit - by_rate) / by_change;
  }
  return std::max(0.0, steepest);
}

}  // namespace cellproof
