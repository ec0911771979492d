// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/motion/line_series.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/LU>
#include <Eigen/QR>

#include "kinematics/entry.hpp"
#include "kinematics/inverse/newton.hpp"

namespace cellproof {
namespace {

/// What rounding may leave of the tool's pose (rad, lengths over the arm's).
constexpr double rounding = 1e-15;
/// Derivatives are right to this share of their majorants' scale; the time law keeps more than that from the limits.
constexpr double most_blur = 1e-7;

/// The arm at the middle of a span, by DH angles: twists about a point that stands still, lengths over `length`.
struct Middle {
  Jacobian axes;  ///< of joint j the twist of what it carries
  Joints levers;  ///< its distance from the point
  Twist along;    ///< the tool's twist by s
  Twist turned;   ///< and how that changes by s: the tcp moves on
  Twist gap;      ///< upper bounds on how far the tool is off the line
};

/// Near the last three axes, as about their common point a wrist is at its simplest, where it is singular as well.
Vector3d point_by_wrist(const std::array<JointAxis, 6>& axes, const Vector3d& tcp) {
  constexpr double pull = 1e-3;  // towards the tcp, where the axes leave it open
  Eigen::Matrix3d across = pull * Eigen::Matrix3d::Identity();
  Vector3d sum = pull * tcp;
  for (std::size_t j = 3; j < 6; ++j) {
    const Eigen::Matrix3d square = Eigen::Matrix3d::Identity() - axes[j].direction * axes[j].direction.transpose();
    across += square;
    sum += square * axes[j].point;
  }
  return across.llt().solve(sum);
}

Middle middle_of(const Arm& arm, const LinearTarget& line, double s, const Joints& values, double length) {
  const ArmFrames frames = arm_frames(arm, values);
  const Pose tool = frames.flange_in_base * line.tcp_in_flange;
  const auto axes = joint_axes(arm, frames);
  const Vector3d about = point_by_wrist(axes, tool.translation());
  const auto twist_about = [&](const Vector3d& point, const Vector3d& speed, const Vector3d& turning) {
    Twist twist;  // of a body whose `point` has this speed
    twist << (speed + turning.cross(about - point)) / length, turning;
    return twist;
  };
  Middle middle;
  for (std::size_t i = 0; i < 6; ++i) {
    const auto column = static_cast<Eigen::Index>(i);
    middle.axes.col(column) = twist_about(axes[i].point, Vector3d::Zero(), axes[i].direction);
    middle.levers[column] = middle.axes.col(column).head<3>().norm();
  }
  const Twist along = line.direction();
  const Vector3d speed = along.head<3>(), turning = along.tail<3>();
  middle.along = twist_about(tool.translation(), speed, turning);
  middle.turned << speed.cross(turning) / length, Vector3d::Zero();
  const Twist off = pose_difference(tool, line.at(s));
  middle.gap = twist_about(tool.translation(), off.head<3>(), off.tail<3>()).cwiseAbs().array() + rounding;
  return middle;
}

// ---- the series ----

Twist bracket(const Twist& a, const Twist& b) {
  const Vector3d turn_a = a.tail<3>(), turn_b = b.tail<3>();
  Twist product;
  product << turn_a.cross(b.head<3>()) + a.head<3>().cross(turn_b), turn_a.cross(turn_b);
  return product;
}

/// Taylor's coefficients, order by order: Σ θ_j' S_j is the tool's twist, and each axis S_j is moved by the joints
/// before it.
std::array<Joints, 4> derivatives_at(const Middle& middle, const Jacobian& inverse) {
  constexpr int orders = 4;
  std::array<Joints, orders> rates;
  std::array<std::array<Twist, 6>, orders> axes, carriers;
  for (int j = 0; j < 6; ++j) entry(axes[0], j) = middle.axes.col(j);
  double factorial = 1;
  std::array<Joints, orders> derivatives;
  for (std::size_t n = 0; n < orders; ++n) {
    Twist rest = n == 0 ? middle.along : n == 1 ? middle.turned : Twist(Twist::Zero());
    for (std::size_t l = 0; l < n; ++l)
      for (std::size_t j = 0; j < 6; ++j) rest -= rates[l][static_cast<Eigen::Index>(j)] * axes[n - l][j];
    rates[n] = inverse * rest;
    if (n > 0) factorial *= static_cast<double>(n);
    derivatives[n] = factorial * rates[n];
    if (n + 1 == orders) break;
    Twist carrier = Twist::Zero();
    for (std::size_t j = 0; j < 6; ++j) {
      carriers[n][j] = carrier;
      for (std::size_t l = 0; l <= n; ++l) carrier += rates[l][static_cast<Eigen::Index>(j)] * axes[n - l][j];
      Twist next = Twist::Zero();
      for (std::size_t k = 0; k <= n; ++k) next += bracket(carriers[k][j], axes[n - k][j]);
      axes[n + 1][j] = next / static_cast<double>(n + 1);
    }
  }
  return derivatives;
}

// ---- the majorant ----

/// How a linear function of twists (rows of `of`) changes on the axes as the joints turn: upper bounds.
struct Changes {
  Jacobian of;
  std::array<Eigen::Matrix<double, 6, 6>, 6> first;  ///< [k](i, j): of row i on axis j by joint k
  Joints turned;                                     ///< of each row on the tool's twist, by s
};

Changes changes_of(const Middle& middle, const Jacobian& of) {
  Changes changes{of, {}, (of * middle.turned).cwiseAbs()};
  for (int k = 0; k < 6; ++k) {
    auto& first = entry(changes.first, k);
    first.setZero();
    for (int j = k + 1; j < 6; ++j) first.col(j) = (of * bracket(middle.axes.col(k), middle.axes.col(j))).cwiseAbs();
  }
  return changes;
}

/// What the first changes come to for joints that turn by `rates`, row by row.
Joints first_order(const Changes& changes, const Joints& rates) {
  Joints sum = changes.turned;
  for (int k = 0; k < 6; ++k) sum += rates[k] * (entry(changes.first, k) * rates);
  return sum;
}

/// And all further ones: an axis turned about n others is no longer than 1, its moment than its lever and theirs. With
/// x = Σ rates · φ, row by row: `turns` · (exp x − 1 − x) + `shifts` · x (exp x − 1).
struct Further {
  Joints turns, shifts;
};
Further further_order(const Changes& changes, const Middle& middle, const Joints& rates) {
  const Joints shifts = middle.levers.dot(rates) * changes.of.leftCols<3>().rowwise().norm();
  return {shifts + rates.sum() * changes.of.rightCols<3>().rowwise().norm(), shifts};
}

/// Σ xᵏ/k! from `order` on, for x in [0, 1].
double exponential_rest(double x, int order) {
  double term = 1, sum = 0;
  for (int k = 1; k < order; ++k) term *= x / k;
  for (int k = order; k < order + 14; ++k) sum += term *= x / k;
  return sum;
}

/// Σ k xᵏ/k! · 1/(k + 1) · x from k = 2 on: the integral of x (exp x − 1).
double shifts_integral(double x) {
  double power = x, sum = 0;
  for (int k = 2; k < 16; ++k) {
    power *= x / (k > 2 ? k - 1 : 1);
    sum += power * x / (k + 1);
  }
  return sum;
}

/// φ with φ(0) = 0 and φ' = 1 + loss(φ) φ', where loss is β φ + turns (exp x − 1 − x) + shifts x (exp x − 1), x = D φ.
struct Majorant {
  double beta = 0, turns = 0, shifts = 0, sum = 0;  ///< sum: D
  double loss(double phi) const {
    const double x = sum * phi;
    return beta * phi + turns * exponential_rest(x, 2) + shifts * x * exponential_rest(x, 1);
  }
  /// The argument at which φ is reached.
  double reached_at(double phi) const {
    const double x = sum * phi;
    return phi - beta * phi * phi / 2 - (turns * exponential_rest(x, 3) + shifts * shifts_integral(x)) / sum;
  }
  std::optional<double> at(double ahead) const;
  double room_beyond(double phi) const;
  double fifth_at(double phi) const;
};

constexpr double most_loss = 0.5;

/// An upper bound of φ(ahead), if it is well within where φ grows beyond all bounds.
std::optional<double> Majorant::at(double ahead) const {
  double phi = ahead;
  for (int round = 0; round < 8; ++round) {  // from below, as the argument is a concave function of φ
    if (!(sum * phi <= 1 && loss(phi) <= most_loss)) return std::nullopt;
    phi += (ahead - reached_at(phi)) / (1 - loss(phi));
  }
  phi *= 1 + 1e-6;
  if (!(sum * phi <= 1 && loss(phi) <= most_loss && reached_at(phi) >= ahead)) return std::nullopt;
  return phi;
}

/// How far beyond φ (in units of φ) the Jacobian still keeps its rank for certain.
double Majorant::room_beyond(double phi) const {
  constexpr double most = 0.75;
  double room = 0.2 / (loss(phi) + sum * phi);
  while (!(sum * phi * (1 + room) <= 1 && loss(phi * (1 + room)) <= most)) room /= 2;
  return room;
}

/// φ's fifth derivative where its value is phi, as that of an inverse function.
double Majorant::fifth_at(double phi) const {
  const double x = sum * phi, one = exponential_rest(x, 1), all = 1 + one;
  const auto of_loss = [&](int order) { return std::pow(sum, order) * (turns + shifts * (order + x)) * all; };
  const double p1 = beta + sum * (turns * one + shifts * (one + x * all));
  const double p2 = of_loss(2), p3 = of_loss(3), p4 = of_loss(4);
  const double g = 1 / (1 - loss(phi)), g2 = g * g, g6 = g2 * g2 * g2;
  return g6 * (p4 + g * (15 * p1 * p3 + 10 * p2 * p2) + g2 * (105 * p1 * p1 * p2 + 105 * g * p1 * p1 * p1 * p1));
}

/// Weights that keep the majorant small: what moves the joints at first, at second and at third order, and enough for
/// what rounding leaves of them (`gap`, rad).
Joints weights_of(const Changes& changes, const Middle& middle, const Joints& rates, const Joints& gap, double half) {
  const Joints bent = first_order(changes, rates);
  const double moved = rates.sum(), time = bent.sum() > 0 ? moved / bent.sum() : 0;
  const double enough = time > 0 ? 10 / (most_blur * time) : 0;
  const Joints third = moved * moved * half * half * further_order(changes, middle, rates).turns;
  // A joint that hardly moves gets a weight all the same: with little of it the majorant bends on the span's own scale.
  constexpr double least = 160, plenty = 5000, cheap = 0.05;
  const Joints floor = (plenty * third).cwiseMin((least * third).cwiseMax(cheap * moved));
  return rates + time * bent + floor + enough * gap;
}

std::optional<Majorant> majorant_of(const Changes& changes, const Middle& middle, const Joints& weights) {
  Majorant majorant;
  majorant.sum = weights.sum();
  const Joints bent = first_order(changes, weights);
  const Further further = further_order(changes, middle, weights);
  for (int i = 0; i < 6; ++i) {
    if (further.turns[i] <= 0) continue;
    if (!(weights[i] > 0)) return std::nullopt;
    majorant.beta = std::max(majorant.beta, bent[i] / weights[i]);
    majorant.turns = std::max(majorant.turns, further.turns[i] / weights[i]);
    majorant.shifts = std::max(majorant.shifts, further.shifts[i] / weights[i]);
  }
  return majorant;
}

// ---- both together ----

struct Bounded {
  LineSeries series;
  Changes changes;
  Joints weights;
  double phi = 0;
};

std::optional<Bounded> bounded(const Middle& middle, const Jacobian& inverse, double half) {
  Bounded result{{}, changes_of(middle, inverse), {}, 0};
  LineSeries& series = result.series;
  series.half = half;
  series.derivatives = derivatives_at(middle, inverse);
  const Joints gap = inverse.cwiseAbs() * middle.gap;
  result.weights = weights_of(result.changes, middle, series.derivatives[0].cwiseAbs(), gap, half);
  const auto majorant = majorant_of(result.changes, middle, result.weights);
  if (!majorant) return std::nullopt;
  const auto phi = majorant->at(half);
  if (!phi) return std::nullopt;
  result.phi = *phi;
  series.strain = majorant->loss(*phi) / most_loss;
  series.fifth = majorant->fifth_at(*phi) * result.weights;
  double share = 0;  // of the weights
  for (int i = 0; i < 6; ++i)
    if (gap[i] > 0) share = std::max(share, gap[i] / result.weights[i]);
  if (!(share * majorant->beta <= most_blur && series.fifth.allFinite())) return std::nullopt;
  series.off = share / (1 - most_loss) * result.weights;
  series.ball = majorant->room_beyond(*phi) * *phi * result.weights;
  return result;
}

/// The joints' least squares without one of them, and the direction that they leave.
struct Reduced {
  Jacobian inverse = Jacobian::Zero();
  Twist left;
};

std::optional<Reduced> reduced(const Jacobian& jacobian, int held) {
  Eigen::Matrix<double, 6, 5> others;
  for (int j = 0, to = 0; j < 6; ++j)
    if (j != held) others.col(to++) = jacobian.col(j);
  const Eigen::ColPivHouseholderQR<Eigen::Matrix<double, 6, 5>> factors(others);
  if (!(std::abs(factors.matrixR()(4, 4)) > 1e-6)) return std::nullopt;
  const Eigen::Matrix<double, 5, 6> solved = factors.solve(Jacobian::Identity());
  Reduced result;
  for (int j = 0, from = 0; j < 6; ++j)
    if (j != held) result.inverse.row(j) = solved.row(from++);
  const Jacobian q = factors.householderQ();
  result.left = q.col(5);
  return result;
}

}  // namespace

Joints LineSeries::at(double ahead) const {
  return angles + ahead * (derivatives[0] +
                           ahead / 2 * (derivatives[1] + ahead / 3 * (derivatives[2] + ahead / 4 * derivatives[3])));
}

Joints LineSeries::remainder() const {
  return std::pow(half, 5) / 120 * fifth;
}

Joints LineSeries::from_chord() const {
  const double square = half * half;
  constexpr double cubic = 0.0641502;  // (x − x³)/6 is at most 1/(9 √3)
  return square / 2 * derivatives[1].cwiseAbs() + cubic * square * half * derivatives[2].cwiseAbs() +
         square * square / 24 * derivatives[3].cwiseAbs() + remainder() + off;
}

std::optional<LineSeries> line_series(const Arm& arm, const LinearTarget& line, double s, const Joints& values,
                                      double half) {
  const Middle middle = middle_of(arm, line, s, values, length_scale(arm));
  const Jacobian inverse = middle.axes.inverse();
  constexpr double invertible = 1e-8;
  if (!((inverse * middle.axes - Jacobian::Identity()).cwiseAbs().maxCoeff() <= invertible)) return std::nullopt;
  auto result = bounded(middle, inverse, half);
  if (!result) return std::nullopt;
  result->series.angles = arm.dh_from_values * values;
  return result->series;
}

std::optional<LineSeries> line_series_held(const Arm& arm, const LinearTarget& line, double s, const Joints& values,
                                           double half, int held) {
  const Middle middle = middle_of(arm, line, s, values, length_scale(arm));
  const auto others = reduced(middle.axes, held);
  if (!others) return std::nullopt;
  auto result = bounded(middle, others->inverse, half);
  if (!result) return std::nullopt;
  LineSeries& series = result->series;
  series.angles = arm.dh_from_values * values;
  series.held = held;
  Jacobian left = Jacobian::Zero();  // the tool leaves the line in one direction only
  left.row(0) = others->left;
  const Changes changes = changes_of(middle, left);
  const double phi = result->phi, sum = result->weights.sum();
  const Further further = further_order(changes, middle, result->weights);
  series.tool_off =
      half * std::abs(others->left.dot(middle.along)) + 2 * middle.gap.norm() +
      first_order(changes, result->weights)[0] * phi * phi / 2 +
      (further.turns[0] * exponential_rest(sum * phi, 3) + further.shifts[0] * shifts_integral(sum * phi)) / sum;
  return series;
}

PieceBend bend_of(const LineSeries& series, const Jacobian& values_from_dh) {
  const double half = series.half;
  const Joints third = (values_from_dh * series.derivatives[2]).cwiseAbs();
  const Joints fourth = (values_from_dh * series.derivatives[3]).cwiseAbs();
  const Joints fifth = values_from_dh.cwiseAbs() * series.fifth;
  return {third + half * fourth + half * half / 2 * fifth, fourth + half * fifth};
}

}  // namespace cellproof
