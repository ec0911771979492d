// SPDX-License-Identifier: GPL-3.0-or-later
// Lines as fast as tool and joints allow together, and never faster.
#include <cmath>
#include <cstdlib>
#include <optional>

#include <catch2/catch.hpp>

#include "kinematics/forward.hpp"
#include "kinematics/motion/motion.hpp"
#include "tests/unit/kinematics/random_arms.hpp"

using namespace cellproof;
using namespace cellproof::tests;

namespace {

int long_or_tenth(int whole) {
  return std::getenv("CELLPROOF_LONG") != nullptr ? whole : whole / 10;
}

struct Line {
  Arm arm;
  Path path;
  SpeedSettings settings;
  LinearTiming timed() const { return linear_motion(arm, path, settings); }
};

std::optional<Path> followed(const Arm& arm, const Joints& start, const Vector3d& shift, const Vector3d& turn,
                             const Vector3d& tcp) {
  LineRequest request;
  request.start = start;
  request.target.tcp_in_flange.translation() = tcp;
  request.target.start_in_base = flange_in_base(arm, start) * request.target.tcp_in_flange;
  request.target.end_in_base = request.target.start_in_base;
  request.target.end_in_base.translation() += shift;
  if (turn.norm() > 0) {
    request.target.end_in_base.linear() =
        Eigen::AngleAxisd(turn.norm(), turn.normalized()) * request.target.start_in_base.linear();
  }
  request.reach_mm << 2000, 2000, 1400, 700, 400, 300;
  const auto path = follow_line(arm, request);
  return path ? std::optional(*path) : std::nullopt;
}

double power_of_ten(Random& random, double low, double high) {
  return std::pow(10, random.between(low, high));
}

/// Some start a hair from a singular pose.
Joints any_start(Random& random, const Arm& arm) {
  Joints start = random.joints();
  if (random.one_in(3)) start[4] = power_of_ten(random, -6, -1) - arm.rows[4].theta;
  if (random.one_in(6)) start[2] = power_of_ten(random, -6, -1) - arm.rows[2].theta;
  return start;
}

Arm any_limited_arm(Random& random, int kind) {
  Arm arm = kind == 0   ? loader_arm()
            : kind == 1 ? offset_wrist_arm()
            : kind == 2 ? any_spherical_arm(random)
                        : any_arm(random);
  for (JointLimits& limit : arm.limits) {
    limit.speed = power_of_ten(random, -0.7, 1);
    limit.acceleration = power_of_ten(random, -0.3, 1.5);
  }
  return arm;
}

/// From a millionth of a millimetre to over a metre, straight, turning or only turning, slow and fast.
std::optional<Line> any_line(Random& random, int kind) {
  Line line{any_limited_arm(random, kind), Path::joint(Joints::Zero(), Joints::Zero()), {}};
  const Joints start = any_start(random, line.arm);
  Vector3d shift = random.point(1).normalized() * power_of_ten(random, -6, 3.2);
  Vector3d turn = random.point(1).normalized() * (random.one_in(3) ? 0 : random.between(0, 3));
  if (random.one_in(5)) {
    shift.setZero();
    turn = random.point(1).normalized() * power_of_ten(random, -6, 0.4);
  }
  const Vector3d tcp = random.one_in(3) ? Vector3d(Vector3d::Zero()) : random.point(200);
  line.settings.tool_speed = power_of_ten(random, 0.5, 3.7);
  line.settings.tool_acceleration = line.settings.tool_speed * power_of_ten(random, -0.5, 1.5);
  line.settings.tool_turn = random.between(0.2, 6);
  line.settings.tool_turn_acceleration = random.between(0.5, 30);
  const auto path = followed(line.arm, start, shift, turn, tcp);
  if (!path) return std::nullopt;
  line.path = *path;
  return line;
}

/// The greatest share of any limit, of joints and tool, at 10 kHz and at no fewer than 2,000 instants.
double greatest_share(const Line& line, const Motion& motion) {
  const LinearTarget& target = line.path.target();
  const double duration = motion.duration();
  const long instants = std::min(100000L, std::max(2000L, static_cast<long>(1e4 * duration)));
  double greatest = 0;
  for (long k = 0; k <= instants; ++k) {
    const double time = duration * static_cast<double>(k) / static_cast<double>(instants);
    const MotionPoint point = motion_at(line.arm, motion, time);
    for (int j = 0; j < 6; ++j) {
      const JointLimits& limit = line.arm.limits[j];
      greatest = std::max(greatest, std::abs(point.speeds[j]) / limit.speed);
      greatest = std::max(greatest, std::abs(point.accelerations[j]) / limit.acceleration);
    }
    const LawPoint law = motion.law.at(time);
    const double tool_rounding = 1 - 1e-9, change = std::abs(law.rate_change) * tool_rounding;
    greatest = std::max({greatest, target.distance_mm() * law.rate * tool_rounding / line.settings.tool_speed,
                         target.distance_mm() * change / line.settings.tool_acceleration,
                         target.angle() * law.rate * tool_rounding / line.settings.tool_turn,
                         target.angle() * change / line.settings.tool_turn_acceleration});
  }
  return greatest;
}

// ---- an oracle: limits at the points of a dense even grid, swept forwards and backwards until nothing changes ----

class Sweeps {
 public:
  Sweeps(const Line& line, int count) : line_(line), step_(1.0 / count) {
    for (int i = 0; i <= count; ++i) points_.push_back(line.path.at(line.arm, i * step_));
    const LinearTarget& target = line.path.target();
    tool_rate_ =
        std::min(over(line.settings.tool_speed, target.distance_mm()), over(line.settings.tool_turn, target.angle()));
    tool_change_ = std::min(over(line.settings.tool_acceleration, target.distance_mm()),
                            over(line.settings.tool_turn_acceleration, target.angle()));
    for (const PathPoint& point : points_) squared_.push_back(most_at(point));
    squared_.front() = squared_.back() = 0;
  }
  double duration() {
    bool changed = true;
    while (changed) {
      changed = sweep(true);
      changed = sweep(false) || changed;
    }
    double time = 0;
    for (std::size_t i = 0; i + 1 < squared_.size(); ++i)
      time += 2 * step_ / (std::sqrt(squared_[i]) + std::sqrt(squared_[i + 1]));
    return time;
  }

 private:
  static double over(double limit, double size) { return size > 0 ? limit / size : 1e300; }
  struct Changes {
    double least, most;
  };
  Changes changes_at(const PathPoint& point, double squared) const {
    Changes changes{-tool_change_, tool_change_};
    for (int j = 0; j < 6; ++j) {
      const double limit = line_.arm.limits[j].acceleration;
      const double bias = point.second[j] * squared, first = point.first[j];
      if (std::abs(first) < 1e-12 && std::abs(bias) < limit) continue;
      const double a = (limit - bias) / first, b = (-limit - bias) / first;
      changes = {std::max(changes.least, std::min(a, b)), std::min(changes.most, std::max(a, b))};
    }
    return changes;
  }
  bool can(const PathPoint& point, double squared) const {
    const Changes changes = changes_at(point, squared);
    return changes.least <= changes.most;
  }
  double most_at(const PathPoint& point) const {
    double most = tool_rate_ * tool_rate_;
    for (int j = 0; j < 6; ++j) {
      const double limit = line_.arm.limits[j].speed / std::abs(point.first[j]);
      most = std::min(most, limit * limit);
    }
    if (can(point, most)) return most;
    double low = 0;
    for (int i = 0; i < 60; ++i) (can(point, (low + most) / 2) ? low : most) = (low + most) / 2;
    return low;
  }
  /// True if the step between two neighbours keeps the limits at its far end, when it ends at `squared`.
  bool arrives(std::size_t to, double squared, double from_squared, bool forwards) const {
    const Changes changes = changes_at(points_[to], squared);
    const double change = (squared - from_squared) / (2 * step_) * (forwards ? 1 : -1);
    return forwards ? change <= changes.most : change >= changes.least;
  }
  bool sweep(bool forwards) {
    bool changed = false;
    for (std::size_t k = 0; k + 1 < squared_.size(); ++k) {
      const std::size_t from = forwards ? k : squared_.size() - 1 - k, to = forwards ? from + 1 : from - 1;
      const Changes changes = changes_at(points_[from], squared_[from]);
      const double reach = std::max(0.0, squared_[from] + 2 * step_ * (forwards ? changes.most : -changes.least));
      double most = std::min(squared_[to], reach);
      if (!arrives(to, most, squared_[from], forwards)) {
        double low = 0;
        for (int i = 0; i < 50; ++i)
          (arrives(to, (low + most) / 2, squared_[from], forwards) ? low : most) = (low + most) / 2;
      }
      if (squared_[to] <= most * (1 + 1e-9)) continue;
      squared_[to] = most;
      changed = true;
    }
    return changed;
  }

  const Line& line_;
  double step_, tool_rate_ = 0, tool_change_ = 0;
  std::vector<PathPoint> points_;
  std::vector<double> squared_;
};

}  // namespace

TEST_CASE("no limit of joint or tool is exceeded at any instant of any line") {
  Random random(41);
  int lines = 0, held_back = 0;
  for (int i = 0; i < long_or_tenth(1500); ++i) {
    const auto line = any_line(random, i % 4);
    if (!line) continue;
    CAPTURE(i);
    const LinearTiming timing = line->timed();
    ++lines;
    if (timing.line.held_back.joint >= 0) ++held_back;
    CHECK(timing.motion.duration() >= timing.line.asked_s * (1 - 1e-9));
    CHECK(greatest_share(*line, timing.motion) <= 1);
  }
  CHECK(lines > long_or_tenth(500));
  CHECK(held_back > lines / 2);
}

TEST_CASE("a line takes no more than one percent longer than the fastest way through a dense grid") {
  Random random(42);
  int compared = 0;
  while (compared < long_or_tenth(300)) {
    const auto line = any_line(random, compared % 4);
    if (!line) continue;
    const LinearTiming timing = line->timed();
    if (timing.line.held_back.joint < 0) continue;
    // An even grid can't resolve what happens within a hair of a singular pose, where knots lie closest.
    if (line->path.knots().size() > 200) continue;
    ++compared;
    CAPTURE(compared, line->path.knots().size());
    const double fastest = Sweeps(*line, 4000).duration();
    CHECK(timing.motion.duration() < 1.01 * fastest);
    CHECK(timing.motion.duration() > 0.998 * fastest);
  }
}

TEST_CASE("a turn about the last axis takes as long as the trapezoid of that joint") {
  // 1.2 rad by joint 6 at 1 rad/s and 4 rad/s²: h/v + v/a = 1.45 s (Siciliano et al., 2009, §4.2.1; from memory); the
  // tool alone could do it faster. The bar is 0.1 %.
  Line line{loader_arm(), Path::joint(Joints::Zero(), Joints::Zero()), {}};
  line.arm.limits[5].speed = 1;
  line.arm.limits[5].acceleration = 4;
  Joints start;
  start << 0.3, 0.2, -0.8, 0.5, 0.9, -0.4;
  const Vector3d axis_6 = joint_axes(line.arm, arm_frames(line.arm, start))[5].direction;
  line.path = *followed(line.arm, start, Vector3d::Zero(), 1.2 * axis_6, {0, 0, 120});
  const LinearTiming timing = line.timed();
  CHECK(timing.motion.duration() == Approx(1.45).epsilon(1e-4));
  CHECK(timing.line.held_back.joint == 5);
  CHECK(timing.line.held_back.by_speed);
  CHECK(timing.line.held_back.rate == Approx(1 / 1.2).epsilon(1e-4));
  CHECK(greatest_share(line, timing.motion) <= 1);
}

TEST_CASE("a short turn about the last axis takes as long as the triangle of that joint") {
  // 0.1 rad at 4 rad/s²: 2 √(h/a) = 0.316227766 s (as above).
  Line line{loader_arm(), Path::joint(Joints::Zero(), Joints::Zero()), {}};
  line.arm.limits[5].acceleration = 4;
  Joints start;
  start << 0.3, 0.2, -0.8, 0.5, 0.9, -0.4;
  const Vector3d axis_6 = joint_axes(line.arm, arm_frames(line.arm, start))[5].direction;
  line.path = *followed(line.arm, start, Vector3d::Zero(), 0.1 * axis_6, {0, 0, 120});
  const LinearTiming timing = line.timed();
  CHECK(timing.motion.duration() == Approx(0.316227766).epsilon(1e-4));
  CHECK(timing.line.held_back.joint == 5);
  CHECK_FALSE(timing.line.held_back.by_speed);
}

TEST_CASE("a line slows down only where the wrist needs it") {
  // The tool passes a few degrees beside the wrist's singular pose: slow there, at full speed well before and after.
  Line line{loader_arm(), Path::joint(Joints::Zero(), Joints::Zero()), {}};
  Joints start;
  start << -20, 20, -30, 0, 2, 0;
  start *= pi / 180;
  const Vector3d sideways = 500 * Vector3d::UnitY();
  const auto path = followed(line.arm, start, sideways, Vector3d::Zero(), {0, 0, 120});
  REQUIRE(path);
  line.path = *path;
  const LinearTiming timing = line.timed();
  const HeldBack& held = timing.line.held_back;
  REQUIRE(held.joint >= 3);
  CHECK(held.rate < 0.9 * held.asked_rate);
  double fastest = 0;
  for (const RateAt& place : timing.motion.law.places()) fastest = std::max(fastest, place.rate);
  CHECK(fastest == Approx(timing.line.asked.rate));
  // Slowed as a whole the line would take asked / share.
  CHECK(timing.motion.duration() < 0.8 * timing.line.asked_s * held.asked_rate / held.rate);
  CHECK(greatest_share(line, timing.motion) <= 1);
}
