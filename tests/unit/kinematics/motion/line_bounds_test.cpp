// SPDX-License-Identifier: GPL-3.0-or-later
// What is proven of a followed line, held against a follower of its own in extended precision: DH matrices multiplied
// out, Newton's iteration, and the Jacobian's change by differences. Shares no formula with the bounds.
#include <cmath>
#include <cstdlib>
#include <optional>
#include <vector>

#include <Eigen/LU>
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

// ---- the oracle ----

using Real = long double;
using Matrix4 = Eigen::Matrix<Real, 4, 4>;
using Matrix3 = Eigen::Matrix<Real, 3, 3>;
using Point = Eigen::Matrix<Real, 3, 1>;
using Six = Eigen::Matrix<Real, 6, 1>;
using Square = Eigen::Matrix<Real, 6, 6>;

Matrix4 turn_z(Real angle) {
  Matrix4 m = Matrix4::Identity();
  m(0, 0) = m(1, 1) = std::cos(angle);
  m(1, 0) = std::sin(angle);
  m(0, 1) = -m(1, 0);
  return m;
}
Matrix4 turn_x(Real angle) {
  Matrix4 m = Matrix4::Identity();
  m(1, 1) = m(2, 2) = std::cos(angle);
  m(2, 1) = std::sin(angle);
  m(1, 2) = -m(2, 1);
  return m;
}
Matrix4 shift(Real x, Real z) {
  Matrix4 m = Matrix4::Identity();
  m(0, 3) = x;
  m(2, 3) = z;
  return m;
}

struct Chain {
  std::array<Matrix4, 7> links;
  std::array<Matrix4, 6> axes;  ///< z is the axis
  Matrix4 tcp;
};

Chain chain_at(const Arm& arm, const Pose& tcp_in_flange, const Six& values) {
  Chain chain;
  Matrix4 at = Matrix4::Identity();
  chain.links[0] = at;
  for (std::size_t i = 0; i < 6; ++i) {
    const DhRow& row = arm.rows[i];
    Real angle = row.theta;
    for (int j = 0; j < 6; ++j) angle += Real(arm.dh_from_values(static_cast<int>(i), j)) * values[j];
    if (arm.convention == DhConvention::modified) at = at * turn_x(row.alpha) * shift(row.a, 0);
    chain.axes[i] = at;
    at = at * turn_z(angle) * shift(0, row.d);
    if (arm.convention == DhConvention::standard) at = at * shift(row.a, 0) * turn_x(row.alpha);
    chain.links[i + 1] = at;
  }
  chain.tcp = at * arm.flange_in_link6.matrix().cast<Real>() * tcp_in_flange.matrix().cast<Real>();
  return chain;
}

Square jacobian_of(const Arm& arm, const Chain& chain) {
  Square by_angle;
  const Point tcp = chain.tcp.topRightCorner<3, 1>();
  for (int i = 0; i < 6; ++i) {
    const Matrix4& axis = chain.axes[static_cast<std::size_t>(i)];
    const Point z = axis.block<3, 1>(0, 2), from = axis.topRightCorner<3, 1>();
    by_angle.col(i) << z.cross(tcp - from), z;
  }
  return by_angle * arm.dh_from_values.cast<Real>();
}

/// The line by Rodrigues' formula.
struct TrueLine {
  Matrix3 start;
  Point from, way, axis;
  Real angle = 0;
  explicit TrueLine(const LinearTarget& line)
      : start(line.start_in_base.linear().cast<Real>()),
        from(line.start_in_base.translation().cast<Real>()),
        way(line.end_in_base.translation().cast<Real>() - from) {
    const Matrix3 turn = line.end_in_base.linear().cast<Real>() * start.transpose();
    const Point twice(turn(2, 1) - turn(1, 2), turn(0, 2) - turn(2, 0), turn(1, 0) - turn(0, 1));
    angle = std::atan2(twice.norm(), turn.trace() - 1);
    axis = twice.norm() > 0 ? Point(twice.normalized()) : Point(Point::UnitZ());
  }
  Six twist() const {
    Six t;
    t << way, angle * axis;
    return t;
  }
  Matrix3 turned(Real s) const {
    Matrix3 cross;
    cross << 0, -axis[2], axis[1], axis[2], 0, -axis[0], -axis[1], axis[0], 0;
    const Real a = s * angle, half = std::sin(a / 2);
    return (Matrix3::Identity() + std::sin(a) * cross + 2 * half * half * cross * cross) * start;
  }
};

struct Follower {
  const Arm& arm;
  const LinearTarget& target;
  TrueLine line;
  Real length;
  Follower(const Arm& a, const LinearTarget& t) : arm(a), target(t), line(t), length(length_scale(a)) {}

  /// Nothing if Newton's iteration does not come to rest.
  std::optional<Six> settled(Real s, Six values) const {
    const Matrix3 turned = line.turned(s);
    const Point at = line.from + s * line.way;
    Real last = 1;
    for (int round = 0; round < 12; ++round) {
      const Chain chain = chain_at(arm, target.tcp_in_flange, values);
      const Matrix3 off = turned * chain.tcp.topLeftCorner<3, 3>().transpose();
      Six gap;
      gap << at - chain.tcp.topRightCorner<3, 1>(), (off(2, 1) - off(1, 2)) / 2, (off(0, 2) - off(2, 0)) / 2,
          (off(1, 0) - off(0, 1)) / 2;
      const Six step = jacobian_of(arm, chain).fullPivLu().solve(gap);
      values += step;
      last = step.cwiseAbs().maxCoeff();
      if (last < 1e-15L) return values;
      if (!(last < 1)) return std::nullopt;
    }
    return last < 1e-11L ? std::optional(values) : std::nullopt;  // beside a singular pose
  }
  Six first(const Six& values) const {
    return jacobian_of(arm, chain_at(arm, target.tcp_in_flange, values)).fullPivLu().solve(line.twist());
  }
  Six second(const Six& values, const Six& rates) const {
    const auto around = [&](Real h) -> Six {
      const Six ahead = values + h * rates, behind = values - h * rates;
      return (jacobian_of(arm, chain_at(arm, target.tcp_in_flange, ahead)) -
              jacobian_of(arm, chain_at(arm, target.tcp_in_flange, behind))) *
             rates / (2 * h);
    };
    const Real h = 1e-4L / rates.cwiseAbs().maxCoeff();
    const Six change = (4 * around(h) - around(2 * h)) / 3;
    return jacobian_of(arm, chain_at(arm, target.tcp_in_flange, values)).fullPivLu().solve(-change);
  }
};

// ---- lines ----

double power_of_ten(Random& random, double low, double high) {
  return std::pow(10, random.between(low, high));
}

Arm any_family(Random& random, int kind) {
  Arm arm = kind == 0   ? loader_arm()
            : kind == 1 ? offset_wrist_arm()
            : kind == 2 ? any_spherical_arm(random)
            : kind == 3 ? any_parallel_arm(random)
            : kind == 4 ? any_skewed_arm(random)
                        : any_arm(random);
  const double scale = random.one_in(3) ? power_of_ten(random, -2, 2) : 1;
  for (DhRow& row : arm.rows) {
    row.a *= scale;
    row.d *= scale;
  }
  arm.flange_in_link6.translation() *= scale;
  for (JointLimits& limit : arm.limits) {
    limit.speed = power_of_ten(random, -0.7, 1);
    limit.acceleration = power_of_ten(random, -0.3, 1.5);
  }
  return arm;
}

struct Case {
  Arm arm;
  LineRequest request;
  double radius = 0;  ///< of each link about its origin
};

/// Joint values a hair, 1e-3 to 1e-1 rad, beside a wrist, an elbow or a shoulder that is singular, or anywhere.
Joints any_pose_of_joints(Random& random, const Arm& arm) {
  Joints values = random.joints();
  const int near = static_cast<int>(random.between(0, 5));
  const double hair = power_of_ten(random, -3, -1) * (random.one_in(2) ? 1 : -1);
  const auto set = [&](int joint, double angle) {
    values[joint] = angle - arm.rows[static_cast<std::size_t>(joint)].theta;
  };
  if (near == 0) set(4, hair);
  if (near == 1) set(2, std::atan2(arm.rows[3].d, arm.rows[2].a) + hair);
  if (near == 2) set(1, hair);
  return values;
}

/// Straight, turning or only turning; long and short. The hair lies anywhere along.
std::optional<Case> any_case(Random& random, int kind) {
  Case made{any_family(random, kind), {}, 0};
  const double size = length_scale(made.arm);
  LineRequest& request = made.request;
  request.target.tcp_in_flange.translation() = random.point(0.1 * size);
  made.radius = random.between(0.02, 0.3) * size;
  for (int joint = 0; joint < 6; ++joint) {
    double chain = 0;
    for (std::size_t link = static_cast<std::size_t>(joint); link < 6; ++link)
      chain += std::hypot(made.arm.rows[link].a, made.arm.rows[link].d);
    request.reach_mm[joint] = chain + made.radius;
  }
  Vector3d way = random.point(1).normalized() * size * power_of_ten(random, -5, -0.3);
  Vector3d turn = random.point(1).normalized() * (random.one_in(3) ? 0 : power_of_ten(random, -3, 0.3));
  if (random.one_in(5)) way.setZero();
  if (way.norm() + turn.norm() == 0) turn.z() = 0.2;
  const auto aim = [&](const Joints& start, double share) {
    request.start = start;
    request.target.start_in_base = flange_in_base(made.arm, start) * request.target.tcp_in_flange;
    request.target.end_in_base = request.target.start_in_base;
    request.target.end_in_base.translation() += share * way;
    if (turn.norm() > 0)
      request.target.end_in_base.linear() =
          Eigen::AngleAxisd(share * turn.norm(), turn.normalized()) * request.target.start_in_base.linear();
  };
  const double before = random.one_in(2) ? 0 : random.between(0, 0.5);
  aim(any_pose_of_joints(random, made.arm), -before);
  if (before > 0) {  // back first, to come by
    const auto back = follow_line(made.arm, request);
    if (!back) return std::nullopt;
    aim(back->end(), 1);
  } else {
    aim(request.start, 1);
  }
  return made;
}

/// The spans that are looked at: all of a short path, else some, the finest of them among these.
std::vector<std::size_t> some_spans(Random& random, const Path& path, std::size_t most) {
  const std::size_t count = path.knots().size() - 1;
  std::vector<std::size_t> spans;
  if (count <= most) {
    for (std::size_t i = 0; i < count; ++i) spans.push_back(i);
    return spans;
  }
  std::size_t finest = 0;
  const auto length = [&](std::size_t i) { return path.knots()[i + 1].s - path.knots()[i].s; };
  for (std::size_t i = 0; i < count; ++i)
    if (length(i) < length(finest)) finest = i;
  spans = {0, finest, count - 1};
  while (spans.size() < most) spans.push_back(static_cast<std::size_t>(random.between(0, static_cast<double>(count))));
  return spans;
}

struct Strays {
  double joints = 0, points = 0;  ///< mm
  bool continuous = true;
};

/// How far points of a link, `radius` from its origin, are apart in two chains.
double points_apart(Random& random, const Chain& a, const Chain& b, double radius) {
  double apart = 0;
  for (std::size_t link = 1; link <= 6; ++link) {
    const Point p = (random.point(1).normalized() * radius).cast<Real>();
    const Eigen::Matrix<Real, 4, 1> at(p[0], p[1], p[2], 1);
    apart = std::max(apart, static_cast<double>(((a.links[link] - b.links[link]) * at).norm()));
  }
  return apart;
}

Strays strays_on(Random& random, const Case& made, const Path& path, std::size_t span, int samples) {
  const Follower follower(made.arm, made.request.target);
  const Knot &from = path.knots()[span], &to = path.knots()[span + 1];
  Strays strays;
  Six values = from.values.cast<Real>();
  for (int i = 0; i <= samples; ++i) {
    const Real share = Real(i) / samples;
    const auto next = follower.settled(from.s + share * (Real(to.s) - from.s), values);
    if (!next) return {0, 0, false};
    values = *next;
    const Six chord = (1 - share) * from.values.cast<Real>() + share * to.values.cast<Real>();
    const Joints off = made.arm.dh_from_values * (values - chord).cast<double>();
    strays.joints = std::max(strays.joints, off.cwiseAbs().dot(made.request.reach_mm));
    strays.points =
        std::max(strays.points, points_apart(random, chain_at(made.arm, path.target().tcp_in_flange, values),
                                             chain_at(made.arm, path.target().tcp_in_flange, chord), made.radius));
  }
  return strays;
}

/// The greatest share of a joint's speed or acceleration limit at instants within a span.
double greatest_share(const Case& made, const Motion& motion, std::size_t span, int samples) {
  const Follower follower(made.arm, made.request.target);
  const Knot &from = motion.path.knots()[span], &to = motion.path.knots()[span + 1];
  Six values = from.values.cast<Real>();
  double greatest = 0;
  for (int i = 0; i <= samples; ++i) {
    const double s = from.s + (to.s - from.s) * i / samples, time = motion.law.time_at(s);
    for (const LawPoint& law : {motion.law.before(time), motion.law.at(time)}) {
      const auto next = follower.settled(law.s, values);
      if (!next) return std::numeric_limits<double>::infinity();
      values = *next;
      const Six first = follower.first(values), second = follower.second(values, first);
      for (int j = 0; j < 6; ++j) {
        const JointLimits& limit = made.arm.limits[static_cast<std::size_t>(j)];
        const Real rate = law.rate, change = law.rate_change;
        const Real speed = std::abs(first[j] * rate) / limit.speed;
        const Real acceleration = std::abs(first[j] * change + second[j] * rate * rate) / limit.acceleration;
        greatest = std::max({greatest, static_cast<double>(speed), static_cast<double>(acceleration)});
      }
    }
  }
  return greatest;
}

}  // namespace

TEST_CASE("the true line never strays from its chords by more than stated, nor leaves its branch") {
  Random random(51);
  int followed = 0;
  std::vector<double> shares;
  for (int i = 0; i < long_or_tenth(2000); ++i) {
    const auto made = any_case(random, i % 6);
    if (!made) continue;
    const auto path = follow_line(made->arm, made->request);
    if (!path) continue;
    ++followed;
    CAPTURE(i, path->knots().size());
    double worst = 0;
    for (const std::size_t span : some_spans(random, *path, 5)) {
      const Strays strays = strays_on(random, *made, *path, span, 200);
      CAPTURE(span);
      CHECK(strays.continuous);
      CHECK(strays.joints <= path->stray_mm());
      CHECK(strays.points <= path->stray_mm());
      worst = std::max(worst, strays.joints);
    }
    shares.push_back(worst / path->stray_mm());
  }
  CHECK(followed > long_or_tenth(700));
  std::nth_element(shares.begin(), shares.begin() + static_cast<long>(shares.size() / 2), shares.end());
  CHECK(shares[shares.size() / 2] > 0.5);  // the bound is no more than twice what it bounds, mostly
}

TEST_CASE("no joint exceeds a limit between the points that its law was made from") {
  Random random(52);
  int timed = 0;
  for (int i = 0; i < long_or_tenth(1000); ++i) {
    const auto made = any_case(random, i % 6);
    if (!made) continue;
    SpeedSettings settings;
    const double size = length_scale(made->arm);
    settings.tool_speed = size * power_of_ten(random, -2, 1);
    settings.tool_acceleration = settings.tool_speed * power_of_ten(random, -0.5, 1.5);
    settings.tool_turn = random.between(0.2, 6);
    settings.tool_turn_acceleration = random.between(0.5, 30);
    const auto path = follow_line(made->arm, made->request);
    if (!path || path->knots().size() > 2000) continue;
    ++timed;
    CAPTURE(i, path->knots().size());
    const Motion motion = linear_motion(made->arm, *path, settings).motion;
    for (const std::size_t span : some_spans(random, *path, 5))
      CHECK(greatest_share(*made, motion, span, 200) <= 1 + 1e-9);
  }
  CHECK(timed > long_or_tenth(300));
}
