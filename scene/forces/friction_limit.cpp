// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/friction_limit.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Dense>

namespace cellproof {

namespace {

using Matrix2 = Eigen::Matrix2d;

/// Sums over the whole bed under one pressure, lengths over the bed's unit. What is named "even" is the field of
/// friction that a plain push and turn about the middle would make if it grew evenly with the distance: admissible, if
/// weak.
struct Pressed {
  double weight = 0;                   ///< N: friction times pressure, summed
  Vector2d middle = Vector2d::Zero();  ///< where an even push acts
  double turning = 0;                  ///< N: what an even turn holds where it grows by 1 over the unit
  double furthest = 0;                 ///< how far from its middle an even turn reaches
};

/// The pressure in the bed's unit.
LinearPressure scaled(const FrictionBed& bed, const LinearPressure& pressure) {
  return {pressure.at_origin, bed.unit * pressure.slope};
}

LinearPressure pressure_at(const LinearPressure& constant, const LinearPressure& change, double multiple) {
  return {constant.at_origin + multiple * change.at_origin, constant.slope + multiple * change.slope};
}

Pressed pressed(const FrictionBed& bed, const LinearPressure& q) {
  const auto& sum = bed.sum;
  const auto& middles = bed.middles;
  const auto first_of = [&](const FrictionBed::Sums<double>& of) {
    return Vector2d(q.at_origin * sum.x + q.slope.x() * of.xx + q.slope.y() * of.xy,
                    q.at_origin * sum.y + q.slope.x() * of.xy + q.slope.y() * of.yy);
  };
  Pressed result;
  result.weight = q.at_origin * sum.size + q.slope.x() * sum.x + q.slope.y() * sum.y;
  const Vector2d first = first_of(sum), pivot = first_of(middles) / result.weight;
  result.middle = first / result.weight;
  result.turning = q.at_origin * (middles.xx + middles.yy) + q.slope.dot(bed.leant) - first.dot(pivot);
  result.furthest = bed.reach + pivot.norm();
  return result;
}

double cross(const Vector2d& a, const Vector2d& b) {
  return a.x() * b.y() - a.y() * b.x();
}

/// A number that is 1 at most for loads that an even field holds: never less than it takes.
double even_share(const Pressed& bed, const Vector3d& load) {
  const Vector2d force = load.head<2>();
  const double push = force.norm(), turn = std::abs(load.z() - cross(bed.middle, force));
  if (push == 0 && turn == 0) return 0;
  if (!(bed.weight > 0) || (turn > 0 && !(bed.turning > 0))) return std::numeric_limits<double>::infinity();
  return push / bed.weight + (turn > 0 ? turn * bed.furthest / bed.turning : 0);
}

/// What friction does against a motion (velocity of the origin, turning).
struct Rubbed {
  double power = 0;                                   ///< N times speed
  Vector3d held = Vector3d::Zero();                   ///< the load that it balances
  Eigen::Matrix3d bent = Eigen::Matrix3d::Zero();     ///< how `held` changes with the motion
  Eigen::Matrix3d bounded = Eigen::Matrix3d::Zero();  ///< no less than that for any motion
};

/// A pressure's sums over pieces: N, and N times place.
template <class Number>
struct Pushes {
  Number force, x, y;
};

template <class Number>
Pushes<Number> pushes(const FrictionBed::Sums<Number>& piece, const LinearPressure& q) {
  const double a = q.at_origin, bx = q.slope.x(), by = q.slope.y();
  return {a * piece.size + bx * piece.x + by * piece.y, a * piece.x + bx * piece.xx + by * piece.xy,
          a * piece.y + bx * piece.xy + by * piece.yy};
}

constexpr double not_zero = 1e-290;

/// Friction of a piece that moves much slower than `slow` fades out: still admissible, and smooth.
Rubbed rubbed(const FrictionBed& bed, const LinearPressure& q, const Vector3d& motion, double slow) {
  using Four = Eigen::Array4d;
  const double u = motion.x(), v = motion.y(), w = motion.z();
  const Four none = Four::Zero();
  Four power = none, h0 = none, h1 = none, h2 = none, m = none, mx = none, my = none, mm = none;
  Four r00 = none, r01 = none, r02 = none, r11 = none, r12 = none, r22 = none;
  for (const auto& pieces : bed.fours) {
    const auto [n, x, y] = pushes(pieces, q);
    const Four along = n * u - w * y, across = n * v + w * x, faded = slow * n;
    const Four size = (along * along + across * across + faded * faded + not_zero).sqrt(), over = 1 / size;
    const Four fx = along * over, fy = across * over, p0 = n * fx, p1 = n * fy, p2 = x * fy - y * fx;
    const Four n_over = n * over, p0_over = p0 * over, p1_over = p1 * over;
    power += size;
    h0 += p0;
    h1 += p1;
    h2 += p2;
    m += n * n_over;
    mx += x * n_over;
    my += y * n_over;
    mm += (x * x + y * y) * over;
    r00 += p0 * p0_over;
    r01 += p1 * p0_over;
    r02 += p2 * p0_over;
    r11 += p1 * p1_over;
    r12 += p2 * p1_over;
    r22 += p2 * p2 * over;
  }
  Rubbed result;
  result.power = power.sum();
  result.held = {h0.sum(), h1.sum(), h2.sum()};
  result.bounded << m.sum(), 0, -my.sum(), 0, m.sum(), mx.sum(), -my.sum(), mx.sum(), mm.sum();
  Eigen::Matrix3d straight;
  straight << r00.sum(), r01.sum(), r02.sum(), r01.sum(), r11.sum(), r12.sum(), r02.sum(), r12.sum(), r22.sum();
  result.bent = result.bounded - straight;
  return result;
}

/// How the power of friction changes with the multiple.
double power_change(const FrictionBed& bed, const LinearPressure& q, const LinearPressure& change,
                    const Vector3d& motion, double slow) {
  using Four = Eigen::Array4d;
  const double u = motion.x(), v = motion.y(), w = motion.z();
  Four sum = Four::Zero();
  for (const auto& pieces : bed.fours) {
    const auto [n, x, y] = pushes(pieces, q);
    const auto [more, more_x, more_y] = pushes(pieces, change);
    const Four along = n * u - w * y, across = n * v + w * x, faded = slow * n;
    const Four size = (along * along + across * across + faded * faded + not_zero).sqrt();
    sum += (along * (more * u - w * more_y) + across * (more * v + w * more_x) + faded * slow * more) / size;
  }
  return sum.sum();
}

/// The load as a direction of the three numbers of a motion, and two across it.
struct LoadAxes {
  Vector3d load, way;
  Eigen::Matrix<double, 3, 2> across;
};

LoadAxes load_axes(const Vector3d& load) {
  LoadAxes axes;
  axes.load = load;
  axes.way = load.normalized();
  axes.across.col(0) = axes.way.unitOrthogonal();
  axes.across.col(1) = axes.way.cross(axes.across.col(0));
  return axes;
}

/// Of all motions against which the load has the power 1, the one against which friction has the least.
struct Slide {
  Vector3d motion;
  double slow = 0;
  Rubbed rubbed;
};

constexpr double balanced = 5e-5;  // of all friction: what may be left unbalanced

void settle(const FrictionBed& bed, const LinearPressure& q, const LoadAxes& axes, double weight, Slide& slide) {
  constexpr int most_steps = 40;
  slide.rubbed = rubbed(bed, q, slide.motion, slide.slow);
  for (int step = 0; step < most_steps; ++step) {
    const Vector2d left = axes.across.transpose() * slide.rubbed.held;
    if (left.norm() <= balanced * weight) return;
    const auto tried = [&](const Eigen::Matrix3d& curvature) {
      Slide next = slide;
      const Matrix2 flat = axes.across.transpose() * curvature * axes.across;
      next.motion -= axes.across * flat.inverse() * left;
      next.rubbed = rubbed(bed, q, next.motion, next.slow);
      return next;
    };
    Slide next = tried(slide.rubbed.bent);
    // Newton's step may go too far; the bounded curvature's never does.
    if (!(next.rubbed.power < slide.rubbed.power)) next = tried(slide.rubbed.bounded);
    if (!(next.rubbed.power < slide.rubbed.power)) return;
    slide = next;
  }
}

/// The multiple of the load that is surely held while the pressure is `q`.
double surely_held(const FrictionBed& bed, const LinearPressure& q, const LoadAxes& axes, const Vector3d& held) {
  const double along = axes.way.dot(held);
  const double short_of = even_share(pressed(bed, q), held - along * axes.way);
  return along / axes.load.norm() / (1 + short_of);
}

/// A first guess: the load against an ellipsoid.
Vector3d guessed_motion(const Pressed& bed, const Vector3d& load) {
  const double twist = load.z() - cross(bed.middle, load.head<2>());
  const double turning = twist / (bed.turning / bed.weight);
  const Vector2d velocity = load.head<2>() + turning * Vector2d(bed.middle.y(), -bed.middle.x());
  return Vector3d(velocity.x(), velocity.y(), turning);
}

double guessed_multiple(const Pressed& constant, double weight_change, const Vector3d& load) {
  const double twist = load.z() - cross(constant.middle, load.head<2>());
  const double demand = std::sqrt(load.head<2>().squaredNorm() + twist * twist * constant.weight / constant.turning);
  return constant.weight / (demand - std::min(0.0, weight_change));
}

}  // namespace

namespace {

using Sums = FrictionBed::Sums<double>;

void add(Sums& to, const Sums& more) {
  to.size += more.size;
  to.x += more.x;
  to.y += more.y;
  to.xx += more.xx;
  to.xy += more.xy;
  to.yy += more.yy;
}

void put_four(const Sums& piece, std::size_t number, FrictionBed& bed) {
  if (number % 4 == 0) bed.fours.emplace_back();
  const auto lane = static_cast<Eigen::Index>(number % 4);
  auto& four = bed.fours.back();
  four.size[lane] = piece.size;
  four.x[lane] = piece.x;
  four.y[lane] = piece.y;
  four.xx[lane] = piece.xx;
  four.xy[lane] = piece.xy;
  four.yy[lane] = piece.yy;
}

Sums sums_with(double friction, double size, const Vector2d& first, const Matrix2& second) {
  return {friction * size,         friction * first.x(),    friction * first.y(),
          friction * second(0, 0), friction * second(0, 1), friction * second(1, 1)};
}

}  // namespace

FrictionBed friction_bed(const std::vector<FrictionPiece>& pieces) {
  FrictionBed bed;
  double size = 0, square = 0;
  for (const FrictionPiece& piece : pieces) {
    size += piece.size;
    square += piece.second.trace();
  }
  if (size > 0 && square > 0) bed.unit = std::sqrt(square / size);
  std::size_t number = 0;
  for (const FrictionPiece& piece : pieces) {
    if (!(piece.friction > 0) || !(piece.size > 0)) continue;
    const Vector2d first = piece.first / bed.unit, middle = first / piece.size;
    const Matrix2 second = piece.second / (bed.unit * bed.unit), at_middle = first * middle.transpose();
    const Sums sums = sums_with(piece.friction, piece.size, first, second);
    put_four(sums, number++, bed);
    add(bed.sum, sums);
    add(bed.middles, sums_with(piece.friction, piece.size, first, at_middle));
    bed.leant += piece.friction * second * middle;
    bed.reach = std::max(bed.reach, middle.norm());
  }
  return bed;
}

double greatest_held(const FrictionBed& bed, const LinearPressure& constant, const LinearPressure& change,
                     const SideLoad& side, double most) {
  constexpr double nothing = 1e-9;  // of what is held: what rounding makes
  const Vector3d load(side.force.x(), side.force.y(), side.moment / bed.unit);
  if (load.isZero(0)) return std::numeric_limits<double>::infinity();
  if (bed.fours.empty() || !(most > 0)) return 0;
  const LinearPressure at_rest = scaled(bed, constant), grows = scaled(bed, change);
  const Pressed resting = pressed(bed, at_rest);
  const double share = even_share(resting, load);
  if (share <= nothing) return std::numeric_limits<double>::infinity();
  if (!std::isfinite(share)) return 0;
  if (std::isfinite(most) && even_share(pressed(bed, pressure_at(at_rest, grows, most)), most * load) <= 1) return most;
  const LoadAxes axes = load_axes(load);
  const double weight_change =
      grows.at_origin * bed.sum.size + grows.slope.x() * bed.sum.x + grows.slope.y() * bed.sum.y;
  double multiple = std::min(0.999 * most, guessed_multiple(resting, weight_change, load));
  const Vector3d guess = guessed_motion(resting, load);
  Slide slide;
  slide.motion = guess / guess.dot(load);
  double best = 0;
  for (int round = 0; round < 30; ++round) {
    const LinearPressure q = pressure_at(at_rest, grows, multiple);
    const Pressed now = pressed(bed, q);
    if (!(now.weight > 0)) break;
    slide.slow = 0.015 * multiple / now.weight;
    settle(bed, q, axes, now.weight, slide);
    const double held = surely_held(bed, q, axes, slide.rubbed.held);
    // Between rest and here the held set is no smaller than the mean of both.
    const double sure = held >= multiple ? multiple : multiple / (1 + (multiple - held) * share);
    best = std::max(best, sure);
    if (std::abs(held - multiple) <= 1e-4 * multiple || (multiple >= most && held >= most)) break;
    const double slope = power_change(bed, q, grows, slide.motion, slide.slow);
    multiple = std::min(most, multiple + (held - multiple) / std::max(1e-3, 1 - slope));
    if (!(multiple > 0)) break;
  }
  return best;
}

}  // namespace cellproof
