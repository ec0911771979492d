// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance/clearance_curve.hpp"

#include <algorithm>
#include <cmath>

#include "scene/clearance/pair_motion.hpp"

namespace cellproof {

namespace {

constexpr double most_points = 40, least_interval_s = 0.05;
constexpr double search_slack_mm = 0.01;

/// A pair and the spans of the path over which it counts, with what the last search found.
struct CurvePair {
  PairMotion motion;
  const PairAsked& asked;
  std::optional<TrianglePair> likely = std::nullopt;
};

/// A lower bound of one pair over a piece of the path, by boxes first.
struct CurveCandidate {
  CurvePair* pair;
  Span span;
  double guess;
};

std::vector<CurveCandidate> candidates(std::vector<CurvePair>& pairs, const Span& piece) {
  std::vector<CurveCandidate> all;
  for (auto& pair : pairs)
    for (const auto& span : pair.asked.spans) {
      const Span part{std::max(span.from, piece.from), std::min(span.to, piece.to)};
      if (part.from > part.to) continue;
      const double boxes = pair.motion.box_distance_at(0.5 * (part.from + part.to));
      all.push_back({&pair, part, boxes - pair.motion.travel(part.from, part.to) - pair.motion.slack().lower});
    }
  std::stable_sort(all.begin(), all.end(),
                   [](const CurveCandidate& a, const CurveCandidate& b) { return a.guess < b.guess; });
  return all;
}

/// Both bounds take in one pair over its part of the piece.
void take_in(CurvePair& pair, const Span& span, CurvePoint& point) {
  const PairMotion::Slack& slack = pair.motion.slack();
  const NearestOver over =
      pair.motion.over(span.from, span.to, point.upper_mm + slack.lower, pair.likely, search_slack_mm);
  if (over.middle.triangles) pair.likely = over.middle.triangles;
  point.lower_mm = std::min(point.lower_mm, std::max(0.0, over.lower_mm - slack.lower));
  const double middle = 0.5 * (span.from + span.to);
  if (over.middle.distance == 0 || pair.motion.inside(middle))
    point.lower_mm = point.upper_mm = 0;
  else if (over.middle.within_cap)
    point.upper_mm = std::min(point.upper_mm, over.middle.distance + slack.upper);
}

std::size_t points_of(const Scene& scene, const Stretch& stretch) {
  const bool moves = !stretch.motion.path.goes_nowhere() || !stretch.shifts.empty();
  const double length = stretch.end_s - stretch.start_s;
  return moves && !scene.bodies.empty()
             ? static_cast<std::size_t>(std::clamp(std::floor(length / least_interval_s), 1.0, most_points))
             : 1;
}

}  // namespace

std::vector<CurvePoint> clearance_over_time(const Scene& scene, const Stretch& stretch,
                                            const std::vector<PairAsked>& asked, const std::stop_token& stop) {
  const CarriedMotion motion(scene, stretch);
  std::vector<CurvePair> pairs;
  pairs.reserve(asked.size());
  for (const auto& pair : asked) pairs.push_back({PairMotion(scene, motion, pair.a, pair.b), pair});
  const std::size_t count = points_of(scene, stretch);
  const auto time_of = [&](std::size_t i) {
    const double share = static_cast<double>(i) / static_cast<double>(count);
    return (1 - share) * stretch.start_s + share * stretch.end_s;
  };
  std::vector<CurvePoint> curve;
  for (std::size_t i = 0; i < count && !stop.stop_requested(); ++i) {
    const Span piece{i == 0 ? 0 : share_at(stretch, time_of(i)),
                     i + 1 == count ? 1 : share_at(stretch, time_of(i + 1))};
    CurvePoint point{time_of(i)};
    for (const auto& candidate : candidates(pairs, piece))
      if (candidate.guess < point.upper_mm) take_in(*candidate.pair, candidate.span, point);
    curve.push_back(point);
  }
  return curve;
}

}  // namespace cellproof
