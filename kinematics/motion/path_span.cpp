// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/path_span.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/entry.hpp"

namespace cellproof {
namespace {

/// Kept from the joints' limits, for rounding.
constexpr double within = 1 - 1e-6;

JointLimits held(const JointLimits& limit) {
  return {limit.min, limit.max, within * limit.speed, within * limit.acceleration};
}

/// One joint on a span: first and second derivatives by s at its start, middle and end, and bounds on the next two.
struct JointOnSpan {
  std::array<double, 3> first, second;
  double third, fourth, length;

  JointOnSpan(const PathSpan& span, int joint)
      : third(span.bend.third[joint]), fourth(span.bend.fourth[joint]), length(span.length()) {
    const std::array<const PathPoint*, 3> points{&span.from.point, &span.middle.point, &span.to.point};
    for (std::size_t k = 0; k < 3; ++k) {
      first[k] = points[k]->first[joint];
      second[k] = points[k]->second[joint];
    }
  }
  /// A curve rises above its chord by at most its second derivative times the squared length over 8; here over half the
  /// span.
  double curve() const { return length * length / 32; }
  /// What speed (times the rate) and acceleration (times d2s/dt2 and the squared rate) may rise above the three points.
  double speed_rise() const { return third * curve(); }
  double rise_by_change() const { return 5 * third * curve(); }
  double rise_by_rate() const { return fourth * curve(); }
  /// |q'| at an end (k = half or half + 1) of half the span with its rise, and with what a squared rate that runs
  /// evenly may gain on its bound V²/q'², as 1/q² is no straight line: at most 3/4 of the squared change of q over the
  /// least q⁴.
  double speed_factor(std::size_t half, std::size_t k) const {
    const double rise = speed_rise(), here = std::abs(first[k]) + rise;
    const double other = std::abs(first[2 * half + 1 - k]) + rise;
    const double greatest = std::max(here, other), least = std::min(here, other);
    if (!(least > 0)) return greatest;
    const double change = (greatest - least) * greatest / (least * least);
    return std::min(greatest, here * std::sqrt(1 + 0.75 * change * change));
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
  for (std::size_t half = 0; half < 2; ++half) {
    for (const std::size_t k : {half, half + 1}) {
      const double share = static_cast<double>(k) / 2, factor = joint.speed_factor(half, k) * rate_over_limit;
      keep(limits, {(1 - share) * factor * factor, share * factor * factor});
    }
  }
}

/// |q' u + q" x| <= A at both ends of each half, u = (q − p)/2Δ, x from p to q evenly. Its second derivative by s is
/// 5 q‴ u + q⁗ x: what is bent by a ramp rises no more than 1.03 times as high as what is bent by the ramp's mean.
void add_acceleration_limits(std::vector<RateLimit>& limits, const JointOnSpan& joint, double squared_rate_over_limit) {
  constexpr double ramp = 1.03;
  const double by_change = squared_rate_over_limit / (2 * joint.length);
  const double rise_by_change = by_change * joint.rise_by_change();
  const double rise_by_rate = ramp * squared_rate_over_limit * joint.rise_by_rate();
  for (std::size_t half = 0; half < 2; ++half) {
    const double mean = 0.25 + 0.5 * static_cast<double>(half);  // where the half's middle is
    for (const std::size_t k : {half, half + 1}) {
      const double share = static_cast<double>(k) / 2;
      const RateLimit at{-joint.first[k] * by_change + joint.second[k] * squared_rate_over_limit * (1 - share),
                         joint.first[k] * by_change + joint.second[k] * squared_rate_over_limit * share};
      for (const double sign : {1.0, -1.0}) {
        for (const double rise : {rise_by_change, -rise_by_change})
          keep(limits, {sign * at.from - rise + rise_by_rate * (1 - mean), sign * at.to + rise + rise_by_rate * mean});
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
    const JointLimits limit = held(entry(arm.limits, j));
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
    const JointLimits& limit = entry(arm.limits, j);
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

SpanMargin margin_of(const Arm& arm, const PathSpan& span) {
  SpanMargin margin;
  for (int j = 0; j < 6; ++j) {
    const JointOnSpan joint(span, j);
    const JointLimits& limit = entry(arm.limits, j);
    margin.speed = std::max(margin.speed, joint.speed_rise() / limit.speed);
    margin.by_rate_change = std::max(margin.by_rate_change, joint.rise_by_change() / limit.acceleration);
    margin.by_rate = std::max(margin.by_rate, joint.rise_by_rate() / limit.acceleration);
  }
  return margin;
}

double SpanMargin::share_at(const ToolPace& pace, const EndRates& rates, double length) const {
  const double unit = pace.rate * pace.rate, squared_rate = unit * std::max(rates.from, rates.to);
  const double change = unit * std::abs(rates.to - rates.from) / (2 * length);
  return std::max(speed * std::sqrt(squared_rate), by_rate_change * change + by_rate * squared_rate);
}

double steepest_at(const Arm& arm, const PathPoint& point, const ToolPace& pace, double squared_rate, int direction) {
  double steepest = pace.rate_change;
  for (int j = 0; j < 6; ++j) {
    const double by_change = std::abs(point.first[j]), limit = held(entry(arm.limits, j)).acceleration;
    const double by_rate =
        (point.first[j] < 0 ? -1 : 1) * direction * point.second[j] * squared_rate * pace.rate * pace.rate;
    if (by_change * steepest > limit - by_rate) steepest = (limit - by_rate) / by_change;
  }
  return std::max(0.0, steepest);
}

}  // namespace cellproof
