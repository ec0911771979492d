// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/time_law.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace cellproof {
namespace {

constexpr LawPoint arrived{1, 0, 0};

/// The time to cover a distance from a rate under constant acceleration, written so that nothing cancels.
double time_to_cover(double distance, double rate, double acceleration) {
  if (distance <= 0) return 0;
  return 2 * distance / (rate + std::sqrt(std::max(0.0, rate * rate + 2 * acceleration * distance)));
}

}  // namespace

TimeLaw::TimeLaw(double speed, double acceleration) {
  const double peak = std::min(speed, std::sqrt(acceleration)), blend = peak / acceleration;
  const double blend_distance = std::min(0.5, peak * blend / 2), cruise = std::max(0.0, 1 / peak - blend);
  knots_.push_back({0, {0, 0, acceleration}});
  if (cruise > 0) knots_.push_back({blend, {blend_distance, peak, 0}});
  knots_.push_back({blend + cruise, {1 - blend_distance, peak, -acceleration}});
  knots_.push_back({2 * blend + cruise, arrived});
}

TimeLaw::TimeLaw(const std::vector<RateAt>& places) {
  if (places.size() < 3) throw std::invalid_argument("TimeLaw: three places at least");
  double time = 0;
  for (std::size_t i = 0; i + 1 < places.size(); ++i) {
    const RateAt &from = places[i], &to = places[i + 1];
    const double ahead = to.s - from.s;
    if (!(ahead > 0 && from.rate + to.rate > 0)) throw std::invalid_argument("TimeLaw: s must rise and rates be > 0");
    knots_.push_back({time, {from.s, from.rate, (to.rate - from.rate) * (to.rate + from.rate) / (2 * ahead)}});
    time += 2 * ahead / (from.rate + to.rate);
  }
  knots_.push_back({time, arrived});
}

LawPoint TimeLaw::inside(std::size_t phase, double time) const {
  const LawKnot &from = knots_[phase], &to = knots_[phase + 1];
  const double acceleration = from.point.rate_change, since = time - from.time, left = to.time - time;
  // From the nearer end, so that the law ends exactly where it should.
  if (since < left) {
    return {from.point.s + (from.point.rate + acceleration * since / 2) * since, from.point.rate + acceleration * since,
            acceleration};
  }
  return {to.point.s - (to.point.rate - acceleration * left / 2) * left, to.point.rate - acceleration * left,
          acceleration};
}

LawPoint TimeLaw::at(double time) const {
  if (!(time < duration())) return arrived;
  const auto next = std::upper_bound(knots_.begin() + 1, knots_.end(), time,
                                     [](double at, const LawKnot& knot) { return at < knot.time; });
  return inside(static_cast<std::size_t>(next - knots_.begin()) - 1, std::max(time, 0.0));
}

LawPoint TimeLaw::before(double time) const {
  if (knots_.empty() || time > duration()) return arrived;
  if (time <= 0) return {};
  const auto next = std::lower_bound(knots_.begin() + 1, knots_.end(), time,
                                     [](const LawKnot& knot, double at) { return knot.time < at; });
  return inside(static_cast<std::size_t>(next - knots_.begin()) - 1, time);
}

double TimeLaw::time_at(double s) const {
  s = std::clamp(s, 0.0, 1.0);
  if (knots_.empty()) return 0;
  const auto next = std::upper_bound(knots_.begin() + 1, knots_.end() - 1, s,
                                     [](double at, const LawKnot& knot) { return at < knot.point.s; });
  const LawKnot &from = *(next - 1), &to = *next;
  const double acceleration = from.point.rate_change, since = s - from.point.s, left = to.point.s - s;
  const double time = since < left ? from.time + time_to_cover(since, from.point.rate, acceleration)
                                   : to.time - time_to_cover(left, to.point.rate, -acceleration);
  return std::clamp(time, from.time, to.time);
}

std::vector<double> TimeLaw::switches() const {
  std::vector<double> times;
  for (const LawKnot& knot : knots_) times.push_back(knot.time);
  return times;
}

std::vector<RateAt> TimeLaw::places() const {
  std::vector<RateAt> places;
  for (const LawKnot& knot : knots_) places.push_back({knot.point.s, knot.point.rate});
  return places;
}

}  // namespace cellproof
