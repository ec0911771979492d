// SPDX-License-Identifier: GPL-3.0-or-later
// Continuation along a line, with knots as close as the allowed stray asks.
#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <stdexcept>

#include <Eigen/LU>

#include "kinematics/inverse/inverse.hpp"
#include "kinematics/inverse/newton.hpp"
#include "kinematics/motion/line_point.hpp"
#include "kinematics/motion/line_series.hpp"

namespace cellproof {

struct LineFollower {
  const Arm& arm;
  const LineRequest& request;
  double length = length_scale(arm);  ///< mm, weighs lengths against angles
  Jacobian values_from_dh = arm.dh_from_values.inverse();
  std::vector<Knot> knots{};
  LineShape shape{};
  PathPoint here{};
  std::optional<LineSeries> known{};  ///< of the last span
  double known_s = 0;
  double s = 0, step = 0.01, least_step = 0;

  /// A span from `here`.
  struct Trial {
    LineSeries series;
    Joints middle, end;
  };
  /// How far a span would stray (mm): infinitely far where nothing can be proven.
  struct Attempt {
    double stray_mm = std::numeric_limits<double>::infinity();
    double longest = 0;  ///< times the span: what can be proven is about that long
    std::optional<Trial> trial;
  };

  double size_mm() const { return request.target.distance_mm() + request.target.angle() * length; }
  Joints predicted(double at) const;
  bool rests(int dh_angle, double ahead) const;
  double stray_of(const LineSeries& series) const;
  std::optional<LineSeries> series_around(double middle_s, const Joints& middle, double half) const;
  std::optional<Joints> apart(const LineSeries& series, const Joints& end) const;
  Attempt attempt(double ahead) const;
  void take(const Trial& trial, double ahead);
  bool advance();
  LineFailure failure() const;
  void begin();
  Path path();
  static Path standing_still(const LineRequest& request);
};

namespace {

/// A joint that turns less than this on a span is at rest (rad).
constexpr double rest = 1e-7;

}  // namespace

Joints LineFollower::predicted(double at) const {
  if (known) return values_from_dh * known->at(at - known_s);
  const double ahead = at - s;
  return here.values + ahead * here.first + ahead * ahead / 2 * here.second;
}

bool LineFollower::rests(int dh_angle, double ahead) const {
  return std::abs(arm.dh_from_values.row(dh_angle).dot(here.first)) * ahead <= rest;
}

double LineFollower::stray_of(const LineSeries& series) const {
  return series.from_chord().dot(request.reach_mm) + series.tool_off * (length + request.reach_mm.maxCoeff());
}

/// With all joints; else with the one at rest that leaves the least stray.
std::optional<LineSeries> LineFollower::series_around(double middle_s, const Joints& middle, double half) const {
  auto series = line_series(arm, request.target, middle_s, middle, half);
  if (series) return series;
  for (int joint = 0; joint < 6; ++joint) {
    if (!rests(joint, 2 * half)) continue;
    auto held = line_series_held(arm, request.target, middle_s, middle, half, joint);
    if (held && (!series || stray_of(*held) < stray_of(*series))) series = std::move(held);
  }
  return series;
}

/// How far the knots are from the ends of the series (rad): nothing if they may belong to another branch.
std::optional<Joints> LineFollower::apart(const LineSeries& series, const Joints& end) const {
  const Joints before = arm.dh_from_values * here.values - series.at(-series.half);
  const Joints after = arm.dh_from_values * end - series.at(series.half);
  const Joints distance = before.cwiseAbs().cwiseMax(after.cwiseAbs()), left_out = series.remainder();
  for (int j = 0; j < 6; ++j) {
    const double most = j == series.held ? rest : series.ball[j];
    if (!(distance[j] + left_out[j] <= most)) return std::nullopt;
  }
  return distance;
}

LineFollower::Attempt LineFollower::attempt(double ahead) const {
  Attempt result;
  const double half = ahead / 2, to = ahead < 1 - s ? s + ahead : 1;
  const auto middle = settle_on_line(arm, request.target, s + half, predicted(s + half), length);
  if (!middle) return result;
  const auto series = series_around(s + half, *middle, half);
  if (!series) return result;
  result.longest = 1 / series->strain;
  const double stray_mm = stray_of(*series);
  if (!(stray_mm <= request.stray_mm)) {
    result.stray_mm = stray_mm;
    return result;
  }
  const auto end = settle_on_line(arm, request.target, to, values_from_dh * series->at(half), length);
  if (!end) return result;
  const auto ends = apart(*series, *end);
  if (!ends) return result;
  result.stray_mm = stray_mm + ends->dot(request.reach_mm);
  result.trial = {*series, *middle, *end};
  return result;
}

void LineFollower::take(const Trial& trial, double ahead) {
  const LineSeries& series = trial.series;
  const auto& by_s = series.derivatives;
  shape.bends.push_back(bend_of(series, values_from_dh));
  shape.points.push_back({s + series.half, {trial.middle, values_from_dh * by_s[0], values_from_dh * by_s[1]}});
  known = series;
  known_s = s + series.half;
  s = ahead < 1 - s ? s + ahead : 1;
  here = line_point(arm, request.target, trial.end, length);
  knots.push_back({s, here.values});
  shape.points.push_back({s, here});
}

bool LineFollower::advance() {
  constexpr double kept = 0.95, enough_longer = 3;
  while (step >= least_step) {
    const double ahead = std::min(step, 1 - s);
    const Attempt found = attempt(ahead);
    const double by_stray = kept * std::sqrt(request.stray_mm / found.stray_mm);
    if (!(found.stray_mm <= request.stray_mm)) {
      step = ahead * std::clamp(by_stray, found.longest > 0 ? 0.1 : 0.4, 0.9);
      continue;
    }
    bool resting = false;  // then a singular pose may be passed in one span
    for (int joint = 0; joint < 6; ++joint) resting = resting || rests(joint, ahead);
    take(*found.trial, ahead);
    step = ahead * std::min({enough_longer, by_stray, resting ? enough_longer : 0.8 * found.longest});
    return true;
  }
  return false;
}

LineFailure LineFollower::failure() const {
  // A little further the pose is either out of reach for every branch, or this branch alone ends here.
  const double further = std::min(1.0, s + 0.01 / size_mm());
  const auto beyond = inverse(arm, request.target.at(further) * request.target.tcp_in_flange.inverse(), here.values);
  const bool reachable = !beyond || !beyond->all.empty();
  return {reachable ? LineStop::singularity : LineStop::out_of_reach, s, s * request.target.distance_mm(), here.values};
}

void LineFollower::begin() {
  const Pose tcp = flange_in_base(arm, request.start) * request.target.tcp_in_flange;
  const Twist off = pose_difference(tcp, request.target.start_in_base);
  if (off.head<3>().norm() > 1e-3 || off.tail<3>().norm() > 1e-6) {
    throw std::invalid_argument("follow_line: the start does not put the tcp at the line's start");
  }
  knots = {{0, request.start}};
  here = line_point(arm, request.target, request.start, length);
  shape.points = {{0, here}};
  constexpr double least_step_mm = 1e-6;
  least_step = std::min(1e-3, least_step_mm / size_mm());
}

Path LineFollower::path() {
  Path path;
  path.knots_ = knots;
  path.linear_ = true;
  path.target_ = request.target;
  path.stray_mm_ = request.stray_mm;
  path.shape_ = std::make_shared<const LineShape>(std::move(shape));
  path.sum_up_travel();
  return path;
}

Path LineFollower::standing_still(const LineRequest& request) {
  Path path = Path::joint(request.start, request.start);
  path.linear_ = true;
  path.target_ = request.target;
  return path;
}

tl::expected<Path, LineFailure> follow_line(const Arm& arm, const LineRequest& request) {
  const double distance = request.target.distance_mm(), angle = request.target.angle();
  if (angle > pi - 1e-9) return tl::unexpected(LineFailure{LineStop::half_turn, 0, 0, request.start});
  if (distance < 1e-9 && angle < 1e-12) return LineFollower::standing_still(request);
  LineFollower follower{arm, request};
  follower.begin();
  while (follower.s < 1) {
    if (!follower.advance()) return tl::unexpected(follower.failure());
  }
  return follower.path();
}

}  // namespace cellproof
