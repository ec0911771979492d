// SPDX-License-Identifier: GPL-3.0-or-later
// Continuation along a line, with knots as close as the allowed stray asks.
#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

#include "kinematics/inverse/inverse.hpp"
#include "kinematics/inverse/newton.hpp"
#include "kinematics/motion/line_point.hpp"

namespace cellproof {

struct LineFollower {
  const Arm& arm;
  const LineRequest& request;
  double length = length_scale(arm);  ///< mm, weighs lengths against angles
  std::vector<Knot> knots{};
  std::vector<ShapePoint> shape{};
  PathPoint here{};
  double s = 0, step = 0.01, least_step = 0;

  /// A step from `here` and what it would cost.
  struct Trial {
    PathPoint middle, end;
    double stray_mm = 0;
  };

  double size_mm() const { return request.target.distance_mm() + request.target.angle() * length; }
  double stray_of(const Joints& joint_errors) const;
  std::optional<PathPoint> settled(double at, const PathPoint& from, double ahead) const;
  std::optional<Trial> attempt(double ahead) const;
  bool advance();
  LineFailure failure() const;
  void begin();
  Path path();
  static Path standing_still(const LineRequest& request);
};

namespace {

Joints predicted(const PathPoint& from, double ahead) {
  return from.values + ahead * from.first + ahead * ahead / 2 * from.second;
}

}  // namespace

double LineFollower::stray_of(const Joints& joint_errors) const {
  return (arm.dh_from_values.cwiseAbs() * joint_errors.cwiseAbs()).dot(request.reach_mm);
}

std::optional<PathPoint> LineFollower::settled(double at, const PathPoint& from, double ahead) const {
  const auto values = settle_on_line(arm, request.target, at, predicted(from, ahead), length);
  if (!values) return std::nullopt;
  return line_point(arm, request.target, *values, length);
}

std::optional<LineFollower::Trial> LineFollower::attempt(double ahead) const {
  const auto middle = settled(s + ahead / 2, here, ahead / 2);
  if (!middle) return std::nullopt;
  const auto end = settled(std::min(1.0, s + ahead), *middle, ahead / 2);
  if (!end) return std::nullopt;
  // A chord strays at most |q''| h²/8; q'' is known at three points only, hence the margin.
  constexpr double margin = 1.5;
  const Joints greatest = here.second.cwiseAbs().cwiseMax(middle->second.cwiseAbs()).cwiseMax(end->second.cwiseAbs());
  const double by_curvature = margin * stray_of(greatest) * ahead * ahead / 8;
  const double at_middle = stray_of(middle->values - (here.values + end->values) / 2);
  return Trial{*middle, *end, std::max(by_curvature, at_middle)};
}

bool LineFollower::advance() {
  while (step >= least_step) {
    const double ahead = std::min(step, 1 - s);
    const auto trial = attempt(ahead);
    if (!trial || !(trial->stray_mm <= request.stray_mm)) {
      step = ahead * (trial ? std::clamp(0.9 * std::sqrt(request.stray_mm / trial->stray_mm), 0.1, 0.7) : 0.25);
      continue;
    }
    shape.push_back({s + ahead / 2, trial->middle});
    s = ahead < 1 - s ? s + ahead : 1;
    here = trial->end;
    knots.push_back({s, here.values});
    shape.push_back({s, here});
    step = ahead * (trial->stray_mm > 0 ? std::min(3.0, 0.9 * std::sqrt(request.stray_mm / trial->stray_mm)) : 3.0);
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
  shape = {{0, here}};
  constexpr double least_step_mm = 1e-6;
  least_step = std::min(1e-3, least_step_mm / size_mm());
}

Path LineFollower::path() {
  Path path;
  path.knots_ = knots;
  path.linear_ = true;
  path.target_ = request.target;
  path.stray_mm_ = request.stray_mm;
  path.shape_ = std::make_shared<const std::vector<ShapePoint>>(std::move(shape));
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
