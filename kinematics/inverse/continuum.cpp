// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/continuum.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include <Eigen/QR>
#include <Eigen/SVD>

#include "kinematics/inverse/newton.hpp"
#include "kinematics/turn_lattice.hpp"

namespace cellproof {
namespace {

constexpr double longest_step = 0.05;

/// Scaled by the arm's length: small motions of the flange by the joints' values, and the gap that is left.
class Curve {
 public:
  Curve(const Arm& arm, const Pose& flange_in_base)
      : arm_(arm), pose_(flange_in_base), length_(length_scale(arm)), values_from_dh_(arm.dh_from_values.inverse()) {}

  /// Unit directions in which the flange stays, to first order.
  std::vector<Joints> idle_directions(const Joints& values) const;
  /// Points along the curve both ways from `values`, at most `longest_step` apart, all round if it closes.
  std::vector<Joints> points(const Joints& values, const Joints& direction) const;
  /// The solution near `guess` that lies beside it, seen along the curve.
  std::optional<Joints> beside(const Joints& guess, const Joints& along) const;

 private:
  struct Linear {
    Jacobian slopes;
    Twist gap;
  };
  using Bordered = Eigen::Matrix<double, 7, 6>;

  Linear linear_at(const Joints& values) const;
  Eigen::CompleteOrthogonalDecomposition<Bordered> bordered(const Jacobian& slopes, const Joints& along) const;
  Joints tangent(const Joints& values, const Joints& along) const;
  std::optional<Joints> next(const Joints& from, Joints& along) const;
  Joints whole_turns_aside(const Joints& difference) const;
  bool follow(std::vector<Joints>& points, Joints along) const;

  const Arm& arm_;
  const Pose& pose_;
  double length_;
  Eigen::Matrix<double, 6, 6> values_from_dh_;
};

Curve::Linear Curve::linear_at(const Joints& values) const {
  const ArmFrames frames = arm_frames(arm_, values);
  Linear linear{flange_jacobian(arm_, frames), pose_difference(frames.flange_in_base, pose_)};
  linear.slopes.topRows<3>() /= length_;
  linear.gap.head<3>() /= length_;
  return linear;
}

std::vector<Joints> Curve::idle_directions(const Joints& values) const {
  constexpr double singular = 1e-6;
  const Eigen::JacobiSVD<Jacobian> factors(linear_at(values).slopes, Eigen::ComputeFullV);
  std::vector<Joints> idle;
  for (int i = 5; i >= 0 && factors.singularValues()[i] < singular; --i) idle.emplace_back(factors.matrixV().col(i));
  if (idle.size() > 1) {
    const Joints sum = (idle[0] + idle[1]).normalized(), difference = (idle[0] - idle[1]).normalized();
    idle.push_back(sum);
    idle.push_back(difference);
  }
  return idle;
}

Eigen::CompleteOrthogonalDecomposition<Curve::Bordered> Curve::bordered(const Jacobian& slopes,
                                                                        const Joints& along) const {
  Bordered rows;
  rows << slopes, along.transpose();
  Eigen::CompleteOrthogonalDecomposition<Bordered> factors;
  factors.setThreshold(1e-8);
  factors.compute(rows);
  return factors;
}

Joints Curve::tangent(const Joints& values, const Joints& along) const {
  const Joints direction = bordered(linear_at(values).slopes, along).solve(Eigen::Matrix<double, 7, 1>::Unit(6));
  return direction.normalized();
}

std::optional<Joints> Curve::beside(const Joints& guess, const Joints& along) const {
  constexpr double enough = 1e-12;
  Joints values = guess;
  double least = std::numeric_limits<double>::infinity();
  for (int round = 0; round < 8; ++round) {
    const Linear linear = linear_at(values);
    const double size = linear.gap.norm();
    if (size < enough) return values;
    if (!(size < least)) break;
    least = size;
    Eigen::Matrix<double, 7, 1> wanted;
    wanted << linear.gap, along.dot(guess - values);
    values += bordered(linear.slopes, along).solve(wanted);
  }
  return std::nullopt;
}

/// The next point and, in `along`, the direction there.
std::optional<Joints> Curve::next(const Joints& from, Joints& along) const {
  for (double step = longest_step; step > 1e-4; step /= 2) {
    const Joints guess = from + step * along;
    const auto point = beside(guess, along);
    if (!point || (*point - guess).norm() > step / 4) continue;
    const Joints direction = tangent(*point, along);
    if (!(direction.dot(along) > 0.9)) continue;
    along = direction;
    return point;
  }
  return std::nullopt;
}

Joints Curve::whole_turns_aside(const Joints& difference) const {
  const Joints dh = arm_.dh_from_values * difference;
  return values_from_dh_ * dh.unaryExpr([](double angle) { return std::remainder(angle, 2 * pi); });
}

/// True if it comes back to where it began.
bool Curve::follow(std::vector<Joints>& points, Joints along) const {
  constexpr std::size_t most = 2000;
  const Joints start = points.front();
  while (points.size() < most) {
    const auto point = next(points.back(), along);
    if (!point) return false;
    points.push_back(*point);
    const Joints off = whole_turns_aside(*point - start);
    if (points.size() < 4 || !(off.norm() < longest_step)) continue;
    points.emplace_back(*point - off);
    return true;
  }
  return false;
}

std::vector<Joints> Curve::points(const Joints& values, const Joints& direction) const {
  std::vector<Joints> ahead{values}, behind{values};
  if (follow(ahead, direction)) return ahead;
  follow(behind, -direction);
  std::reverse(behind.begin(), behind.end());
  behind.insert(behind.end(), ahead.begin() + 1, ahead.end());
  return behind;
}

/// A point of the curve as the limits and the reference see it, with the best of its whole turns.
struct CurvePlace {
  Joints values;
  double margin = 0;    ///< from the limits (rad)
  double distance = 0;  ///< from the reference (rad), limits or not: a lower bound
};

/// Goes over the curve's pieces and halves those that can hold something better: nothing about a joint changes by more
/// than the joints move.
class CurveSearch {
 public:
  CurveSearch(const Arm& arm, const Curve& curve, const Joints& reference)
      : arm_(arm), curve_(curve), reference_(reference), lattice_(arm) {
    for (std::size_t j = 0; j < 6; ++j) {
      low_[static_cast<Eigen::Index>(j)] = arm.limits[j].min - beyond;
      high_[static_cast<Eigen::Index>(j)] = arm.limits[j].max + beyond;
    }
    for (const SumLimit& sum : arm.sum_limits) growth_ = std::max(growth_, sum.coefficients.norm());
  }

  void over(const std::vector<Joints>& points);
  std::optional<Joints> best() const { return best_; }

 private:
  static constexpr double beyond = 4 * longest_step, slack = 1e-9;

  struct CurvePiece {
    CurvePlace from, to;
  };

  CurvePlace judged(const Joints& values);
  double margin_bound(const CurvePiece& piece) const;
  bool promising(const CurvePiece& piece) const;

  const Arm& arm_;
  const Curve& curve_;
  const Joints& reference_;
  TurnLattice lattice_;
  Joints low_, high_;
  double growth_ = 1;  ///< of a margin by the joints' motion
  std::optional<Joints> best_;
  double least_ = std::numeric_limits<double>::infinity();
};

CurvePlace CurveSearch::judged(const Joints& values) {
  CurvePlace place{values, -beyond, std::numeric_limits<double>::infinity()};
  for (const Joints& turned : lattice_.within(values, low_, high_)) {
    const double margin = limit_margin(arm_, turned), distance = (turned - reference_).cwiseAbs().maxCoeff();
    place.margin = std::max(place.margin, margin);
    place.distance = std::min(place.distance, distance);
    if (!(margin >= -slack) || !(distance < least_)) continue;
    least_ = distance;
    best_ = turned;
  }
  return place;
}

double CurveSearch::margin_bound(const CurvePiece& piece) const {
  constexpr double bend = 1.25;  // of the curve against its chord
  return (piece.from.margin + piece.to.margin + bend * growth_ * (piece.to.values - piece.from.values).norm()) / 2;
}

bool CurveSearch::promising(const CurvePiece& piece) const {
  constexpr double bend = 1.25, shortest = 1e-10, no_gain = 1e-6;
  const double size = (piece.to.values - piece.from.values).norm();
  if (!(size > shortest) || margin_bound(piece) < -slack) return false;
  if (!best_) return true;
  return (piece.from.distance + piece.to.distance - bend * size) / 2 < least_ - no_gain;
}

void CurveSearch::over(const std::vector<Joints>& points) {
  constexpr int most = 4000;
  std::vector<CurvePiece> pieces;
  CurvePlace before = judged(points.front());
  for (std::size_t i = 1; i < points.size(); ++i) {
    const CurvePlace here = judged(points[i]);
    pieces.push_back({before, here});
    before = here;
  }
  std::sort(pieces.begin(), pieces.end(),
            [this](const CurvePiece& a, const CurvePiece& b) { return margin_bound(a) < margin_bound(b); });
  for (int halved = 0; halved < most && !pieces.empty();) {
    const CurvePiece piece = pieces.back();
    pieces.pop_back();
    if (!promising(piece)) continue;
    const Joints chord = piece.to.values - piece.from.values;
    const auto middle = curve_.beside(piece.from.values + chord / 2, chord.normalized());
    if (!middle) continue;
    ++halved;
    const CurvePlace place = judged(*middle);
    const CurvePiece first{piece.from, place}, second{place, piece.to};
    const bool first_last = margin_bound(first) > margin_bound(second);  // the more promising is looked at next
    pieces.push_back(first_last ? second : first);
    pieces.push_back(first_last ? first : second);
  }
}

}  // namespace

std::optional<Joints> nearest_within_limits(const Arm& arm, const Pose& flange_in_base, const Joints& values,
                                            const Joints& reference) {
  const Curve curve(arm, flange_in_base);
  CurveSearch search(arm, curve, reference);
  for (const Joints& direction : curve.idle_directions(values)) {
    const std::vector<Joints> points = curve.points(values, direction);
    if (points.size() > 2) search.over(points);
  }
  return search.best();
}

}  // namespace cellproof
