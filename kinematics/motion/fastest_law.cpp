// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/fastest_law.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <Eigen/LU>

#include "kinematics/entry.hpp"
#include "kinematics/motion/line_series.hpp"

namespace cellproof {
namespace {

/// Squared rates at the places between spans, as shares of the tool's greatest.
using Profile = std::vector<double>;

struct LimitedSpan {
  PathSpan span;
  std::vector<RateLimit> limits;
  SpanMargin margin;
  double length() const { return span.length(); }
};
using Pieces = std::vector<LimitedSpan>;

struct Problem {
  const Arm& arm;
  const Path& path;
  const ToolPace& pace;
};

constexpr double gain_worth_a_split = 3e-6, worth_a_round = 1e-5;
/// Where a joint holds back, no piece takes longer than this share: its best acceleration changes along the way.
/// Nor does the margin between their points cost more than this share of a limit, by the time it costs.
constexpr double longest_share = 0.01, most_margin = 2e-3;
/// Beside a singular pose a path has so many pieces that its law may rather be slower than found later.
constexpr std::size_t most_pieces = 20000;

// ---- pieces ----

LimitedSpan piece_of(const Problem& problem, const PathSpan& span) {
  return {span, limits_over(problem.arm, span, problem.pace), margin_of(problem.arm, span)};
}

ShapePoint point_at(const Problem& problem, double s) {
  return {s, problem.path.at(problem.arm, s)};
}

/// A part of a piece. Bounds of the whole hold for it; where they cost much it gets its own.
LimitedSpan piece_between(const Problem& problem, const ShapePoint& from, const ShapePoint& to, const PieceBend& bend) {
  PathSpan span{from, point_at(problem, (from.s + to.s) / 2), to, bend};
  if (margin_of(problem.arm, span).share_at(problem.pace, {1, 1}, span.length()) > most_margin) {
    const auto own =
        line_series(problem.arm, problem.path.target(), span.middle.s, span.middle.point.values, span.length() / 2);
    if (own) span.bend = bend_of(*own, problem.arm.dh_from_values.inverse());
  }
  return piece_of(problem, span);
}

Pieces pieces_of(const Problem& problem) {
  const auto& shape = problem.path.shape();
  Pieces pieces;
  const auto& points = shape.points;
  for (std::size_t i = 0; i < shape.bends.size(); ++i)
    pieces.push_back(piece_of(problem, {points[2 * i], points[2 * i + 1], points[2 * i + 2], shape.bends[i]}));
  return pieces;
}

/// Cuts pieces at the places that lie inside them. `places` rise.
Pieces cut(const Problem& problem, Pieces pieces, const std::vector<double>& places) {
  Pieces all;
  auto place = places.begin();
  for (LimitedSpan& piece : pieces) {
    const PathSpan& span = piece.span;
    const double least = 1e-9 * span.length();
    ShapePoint from = span.from;
    for (; place != places.end() && *place < span.to.s; ++place) {
      if (*place - from.s <= least || span.to.s - *place <= least) continue;
      const bool halves = std::abs(*place - span.middle.s) <= least;
      const ShapePoint at = halves ? span.middle : point_at(problem, *place);
      all.push_back(piece_between(problem, from, at, span.bend));
      from = at;
    }
    all.push_back(from.s > span.from.s ? piece_between(problem, from, span.to, span.bend) : std::move(piece));
  }
  return all;
}

// ---- the two passes ----

Profile controllable(const Pieces& pieces) {
  Profile most(pieces.size() + 1, 0);
  for (std::size_t i = pieces.size(); i-- > 0;) most[i] = greatest_from(pieces[i].limits, most[i + 1]);
  return most;
}

Profile fastest(const Pieces& pieces) {
  const Profile most = controllable(pieces);
  Profile profile(most.size(), 0);
  for (std::size_t i = 0; i < pieces.size(); ++i)
    profile[i + 1] = greatest_to(pieces[i].limits, profile[i], most[i + 1]);
  return profile;
}

double time_over(double length, double squared_from, double squared_to) {
  return 2 * length / (std::sqrt(squared_from) + std::sqrt(squared_to));
}

/// In units of 1/pace.rate.
double duration(const Pieces& pieces, const Profile& profile) {
  double time = 0;
  for (std::size_t i = 0; i < pieces.size(); ++i) time += time_over(pieces[i].length(), profile[i], profile[i + 1]);
  return time;
}

// ---- where to split ----

/// The squared rate that the joints' speeds allow at a point, as a share.
double speed_cap(const Problem& problem, const PathPoint& point) {
  double cap = 1;
  for (int j = 0; j < 6; ++j) {
    const double speed = std::abs(point.first[j]) * problem.pace.rate;
    const double limit = entry(problem.arm.limits, j).speed;
    if (speed > limit) cap = std::min(cap, limit * limit / (speed * speed));
  }
  return cap;
}

/// One span could be run faster by speeding up first and slowing down later: where the change should be.
struct Summit {
  double time_gained = 0;
  std::vector<double> places;
};

Summit summit_on(const Problem& problem, const PathSpan& span, const EndRates& rates) {
  const double length = span.length(), unit = 2 * length / (problem.pace.rate * problem.pace.rate);
  const double up = unit * steepest_at(problem.arm, span.from.point, problem.pace, rates.from, 1);
  const double down = unit * steepest_at(problem.arm, span.to.point, problem.pace, rates.to, -1);
  const double ahead = rates.from + up - rates.to, behind = rates.to + down - rates.from;
  if (!(ahead > 0 && behind > 0)) return {};
  const double meet = behind / (up + down), height = rates.from + up * meet;
  const double cap = std::max({speed_cap(problem, span.middle.point), rates.from, rates.to});
  const double top = std::min(height, cap);
  const double rise = up > 0 ? std::min(meet, (top - rates.from) / up) : 0;
  const double fall = down > 0 ? std::min(1 - meet, (top - rates.to) / down) : 0;
  Summit summit;
  summit.time_gained = time_over(length, rates.from, rates.to) - time_over(rise * length, rates.from, top) -
                       time_over(fall * length, top, rates.to) - (1 - rise - fall) * length / std::sqrt(top);
  summit.places = {span.from.s + rise * length};
  if (top < height) summit.places.push_back(span.to.s - fall * length);
  return summit;
}

/// Places that cut a span into parts of equal time.
void cut_evenly(const PathSpan& span, const EndRates& rates, int parts, std::vector<double>& places) {
  const double from = std::sqrt(rates.from), to = std::sqrt(rates.to);
  for (int i = 1; i < parts; ++i) {
    const double share = static_cast<double>(i) / parts;
    places.push_back(span.from.s + span.length() * share * (2 * from + share * (to - from)) / (from + to));
  }
}

/// Places at which to split, in order.
std::vector<double> splits_of(const Problem& problem, const Pieces& pieces, const Profile& profile) {
  const double whole = duration(pieces, profile);
  std::vector<double> places;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const PathSpan& span = pieces[i].span;
    const EndRates rates{profile[i], profile[i + 1]};
    const Summit summit = summit_on(problem, span, rates);
    if (summit.time_gained > gain_worth_a_split * whole)
      places.insert(places.end(), summit.places.begin(), summit.places.end());
    const double share = time_over(span.length(), rates.from, rates.to) / whole;
    const double margin = pieces[i].margin.share_at(problem.pace, rates, span.length());
    const double costly = most_margin * std::max(1.0, 1 / (share * static_cast<double>(pieces.size())));
    if (!(share > longest_share || margin > costly)) continue;
    const double parts = std::max(share / longest_share, std::min(3.0, std::sqrt(margin / most_margin))) + 1;
    if (nearest_limit_on(problem.arm, span, problem.pace, rates).share + margin > 0.9)
      cut_evenly(span, rates, static_cast<int>(std::clamp(parts, 2.0, 64.0)), places);
  }
  std::sort(places.begin(), places.end());
  return places;
}

// ---- the law ----

/// Places between which the acceleration is the same are left out.
std::vector<RateAt> places_of(const Pieces& pieces, const Profile& profile, const ToolPace& pace) {
  std::vector<RateAt> places{{0, 0}};
  double slope = std::numeric_limits<double>::quiet_NaN();
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const PathSpan& span = pieces[i].span;
    const double mine = (profile[i + 1] - profile[i]) / span.length();
    const bool same = std::abs(mine - slope) <= 1e-9 * std::abs(slope) && i + 1 < pieces.size();
    if (same) places.pop_back();
    if (!same) slope = mine;
    places.push_back({span.to.s, pace.rate * std::sqrt(profile[i + 1])});
  }
  places.back() = {1, 0};
  return places;
}

HeldBack held_back(const Problem& problem, const Pieces& pieces, const Profile& profile) {
  const ToolPace& pace = problem.pace;
  HeldBack most;
  double greatest_loss = 1e-5 * pace.rate;
  for (std::size_t i = 1; i < pieces.size(); ++i) {
    const double s = pieces[i].span.from.s, rate = pace.rate * std::sqrt(profile[i]);
    const double asked = std::min(pace.rate, std::sqrt(2 * pace.rate_change * std::min(s, 1 - s)));
    if (asked - rate <= greatest_loss) continue;
    greatest_loss = asked - rate;
    const NearestLimit before = nearest_limit_on(problem.arm, pieces[i - 1].span, pace, {profile[i - 1], profile[i]});
    const NearestLimit after = nearest_limit_on(problem.arm, pieces[i].span, pace, {profile[i], profile[i + 1]});
    const NearestLimit& nearest = before.share > after.share ? before : after;
    most = {nearest.joint, nearest.of_speed, s, rate, asked};
  }
  return most;
}

}  // namespace

FastestLaw fastest_law(const Arm& arm, const Path& path, const ToolPace& pace) {
  const Problem problem{arm, path, pace};
  const double blend = std::min(0.5, pace.rate * pace.rate / (2 * pace.rate_change));
  Pieces pieces = cut(problem, pieces_of(problem), {blend, 1 - blend});
  Profile profile = fastest(pieces);
  std::vector<double> splits = splits_of(problem, pieces, profile);
  constexpr int most_rounds = 8;
  double gained = 1;  // share of the time, by the last round
  for (int round = 0;
       round < most_rounds && gained > worth_a_round && !splits.empty() && pieces.size() + splits.size() <= most_pieces;
       ++round) {
    const double before = duration(pieces, profile);
    pieces = cut(problem, std::move(pieces), splits);
    profile = fastest(pieces);
    splits = splits_of(problem, pieces, profile);
    gained = 1 - duration(pieces, profile) / before;
  }
  FastestLaw result;
  result.law = TimeLaw(pace.rate, pace.rate_change);
  if (duration(pieces, profile) <= (1 + 1e-12) * pace.rate * result.law.duration()) return result;
  result.law = TimeLaw(places_of(pieces, profile, pace));
  result.held_back = held_back(problem, pieces, profile);
  return result;
}

}  // namespace cellproof
