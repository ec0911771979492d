// SPDX-License-Identifier: GPL-3.0-or-later
// Arms of which three consecutive axes meet: D. L. Pieper, "The Kinematics of Manipulators under Computer Control",
// 1968. The point where they meet, the wrist's centre, depends on the three other joints only; its distance from the
// first of their frames and its height on that axis hold no θ1, and eliminating θ2 between them leaves a trigonometric
// polynomial of degree two in θ3. θ1 to θ3 are the shoulder's joints here and θ4 to θ6 the wrist's, wherever the arm
// has them.
#include <cmath>

#include <Eigen/LU>

#include "kinematics/closed_form.hpp"
#include "kinematics/sines.hpp"
#include "kinematics/trigonometric_roots.hpp"

namespace cellproof {
namespace {

struct Planar {
  double x = 0, y = 0;
  double size() const { return std::sqrt(x * x + y * y); }
  double angle() const { return std::atan2(y, x); }
};

/// The chain as far as the wrist's centre. The centre's place beyond joint 3 is polar: `reach` at θ3 = `lead`, `height`
/// along axis 3; φ = θ3 − lead.
class Shoulder {
 public:
  Shoulder(const MeetingAxes& axes, const Joints& reference, Candidates& found)
      : axes_(axes), centre_(axes.target.translation()), found_(found) {
    for (std::size_t i = 0; i < 6; ++i) reference_[static_cast<Eigen::Index>(i)] = reference[axes.joints[i]];
    const Vector3d beyond = axes.last.translation() + axes.wrist1.d * axes.last.linear().col(2);
    reach_ = Planar{beyond.x(), beyond.y()}.size();
    lead_ = -std::atan2(beyond.y(), beyond.x());
    height_ = beyond.z();
    for (int i = 0; i < 3; ++i) {
      const auto row = axes.middle.linear().row(i);
      middle_[static_cast<std::size_t>(i)] = {axes.middle.translation()[i] + row[2] * height_, row[0] * reach_,
                                              row[1] * reach_};
    }
  }

  void solve() {
    const auto tilt = axes_.middle.linear().row(2).head<2>();
    if (std::abs(tilt[0]) + std::abs(tilt[1]) < vanishing) {
      by_parallel_axes();
    } else if (std::abs(first_.a) < nearly_vanishing) {
      by_distance();
    } else if (std::abs(first_.tilt.sine) < nearly_vanishing) {
      by_height();
    } else {
      by_both();
    }
  }

 private:
  /// Below this the terms that a route leaves out are left to Newton's iteration.
  static constexpr double nearly_vanishing = 1e-6;

  /// A form constant + cosine cos φ + sine sin φ.
  struct Linear {
    double constant = 0, cosine = 0, sine = 0;
    double at(double phi) const { return constant + cosine * std::cos(phi) + sine * std::sin(phi); }
  };

  // The centre in frame 1, before θ2 turns it: (beside_x, beside_y), and along axis 2 `lift`.
  const Linear& beside_x() const { return middle_[0]; }
  const Linear& beside_y() const { return middle_[1]; }
  const Linear& lift() const { return middle_[2]; }

  /// What θ2 must add to the squared distance: centre² − (…) = 2 a1 (cos θ2 x − sin θ2 y).
  Linear distance_gap() const {
    const Vector3d offset = axes_.middle.linear().transpose() * axes_.middle.translation();
    const double fixed = first_.a * first_.a + axes_.middle.translation().squaredNorm() + reach_ * reach_ +
                         height_ * height_ + 2 * offset.z() * height_;
    return {centre_.squaredNorm() - fixed, -2 * offset.x() * reach_, -2 * offset.y() * reach_};
  }

  /// What θ2 must add to the height: centre_z − (…) = sin α1 (sin θ2 x + cos θ2 y).
  Linear height_gap() const {
    const Linear along = lift();
    const double c = first_.tilt.cosine;
    return {centre_.z() - c * along.constant, -c * along.cosine, -c * along.sine};
  }

  void by_parallel_axes();
  void by_distance();
  void by_height();
  void by_both();
  void second_from_height(double phi);
  void second_from_distance(double phi);
  void with_second(double phi, const AngleRoots& second);
  void with_second_and_third(double second, double phi);
  void with_arm(double first, double second, double phi);
  struct Centre {
    Vector3d place;
    Eigen::Matrix3d slopes;
  };
  Centre centre_at(const Vector3d& angles) const;
  Vector3d refined(Vector3d angles) const;
  void with_wrist(double first, double second, double third);

  void add(const Joints& shoulder_and_wrist);

  const MeetingAxes& axes_;
  const Vector3d centre_;
  Joints reference_;
  Candidates& found_;
  const NormalLink& first_ = axes_.first;
  std::array<Linear, 3> middle_;
  double reach_ = 0, lead_ = 0, height_ = 0;
};

/// Axes 2 and 3 parallel: the centre's place along them gives θ1, and two links in a plane the rest.
void Shoulder::by_parallel_axes() {
  const double s = first_.tilt.sine, c = first_.tilt.cosine, along = lift().constant;
  AngleRoots first = roots_of(c * centre_.z() - along, -s * centre_.y(), s * centre_.x(), vanishing);
  if (first.everywhere) {
    found_.singular = true;
    first.add(reference_[0]);
  }
  // The upper arm as seen from frame 2 points at θ3 = `fold` + lead; the forearm is `reach`.
  const Vector2d upper = axes_.middle.translation().head<2>();
  const Vector2d seen = axes_.middle.linear().topLeftCorner<2, 2>().transpose() * upper;
  const double fold = std::atan2(seen.y(), seen.x()), upper_length = upper.norm();
  for (const double angle : first) {
    const double cosine = std::cos(angle), sine = std::sin(angle);
    const double x = cosine * centre_.x() + sine * centre_.y() - first_.a;
    const double y = c * (cosine * centre_.y() - sine * centre_.x()) + s * centre_.z();
    const Planar span{x, y};
    const auto elbow = elbow_angle(upper_length, reach_, span.size());
    if (!elbow) continue;
    const bool folded = span.size() < vanishing;
    found_.singular = found_.singular || folded;
    for (const double bend : {*elbow, -*elbow}) {
      const double phi = fold + bend;
      const Planar beside{beside_x().at(phi), beside_y().at(phi)};
      with_wrist(angle, folded ? reference_[1] : span.angle() - beside.angle(), phi + lead_);
      if (bend == 0) break;
    }
  }
}

/// Axes 1 and 2 meet: the distance holds no θ2.
void Shoulder::by_distance() {
  const Linear gap = distance_gap();
  for (const double phi : roots_of(gap.constant, gap.cosine, gap.sine)) second_from_height(phi);
}

/// Axes 1 and 2 are parallel: the height holds no θ2.
void Shoulder::by_height() {
  const Linear gap = height_gap();
  for (const double phi : roots_of(gap.constant, gap.cosine, gap.sine)) second_from_distance(phi);
}

void Shoulder::by_both() {
  const Linear distance = distance_gap(), height = height_gap(), x = beside_x(), y = beside_y();
  const double s = first_.tilt.sine, a = 2 * first_.a;
  const auto square_of = [](const Linear& form, double factor) {
    return squared(factor * form.constant, factor * form.cosine, factor * form.sine);
  };
  const TrigonometricPolynomial balance =
      square_of(distance, s) + square_of(height, a) + -1.0 * (square_of(x, a * s) + square_of(y, a * s));
  AngleRoots third = roots_of(balance);
  if (third.everywhere) {
    found_.singular = true;
    third.add(reference_[2] - lead_);
  }
  for (const double phi : third) {
    const Planar beside{x.at(phi), y.at(phi)}, turned{distance.at(phi) / a, height.at(phi) / s};
    AngleRoots second;
    second.everywhere = beside.size() < vanishing;
    if (!second.everywhere) second.add(turned.angle() - beside.angle());
    with_second(phi, second);
  }
}

void Shoulder::second_from_height(double phi) {
  const double s = first_.tilt.sine;
  with_second(phi, roots_of(-height_gap().at(phi), s * beside_y().at(phi), s * beside_x().at(phi), vanishing));
}

void Shoulder::second_from_distance(double phi) {
  const double a = 2 * first_.a;
  with_second(phi, roots_of(-distance_gap().at(phi), a * beside_x().at(phi), -a * beside_y().at(phi), vanishing));
}

void Shoulder::with_second(double phi, const AngleRoots& second) {
  if (second.everywhere) {
    found_.singular = true;
    with_second_and_third(reference_[1], phi);
  }
  for (const double angle : second) with_second_and_third(angle, phi);
}

void Shoulder::with_second_and_third(double second, double phi) {
  const double x = beside_x().at(phi), y = beside_y().at(phi), s2 = std::sin(second), c2 = std::cos(second);
  const double forward = first_.a + c2 * x - s2 * y;
  const double sideways = first_.tilt.cosine * (s2 * x + c2 * y) - first_.tilt.sine * lift().at(phi);
  const Planar wanted{centre_.x(), centre_.y()};
  const bool on_axis = wanted.size() < vanishing;
  found_.singular = found_.singular || on_axis;
  with_arm(on_axis ? reference_[0] : wanted.angle() - Planar{forward, sideways}.angle(), second, phi);
}

void Shoulder::with_arm(double first, double second, double phi) {
  // A wrist near the end of its travel asks for more digits than an elimination leaves.
  const Vector3d angles = refined({first, second, phi});
  with_wrist(angles[0], angles[1], angles[2] + lead_);
}

/// The centre and its derivatives by θ1, θ2 and φ.
Shoulder::Centre Shoulder::centre_at(const Vector3d& angles) const {
  const auto tilted = [](const Turn& by, const Vector3d& v) -> Vector3d {
    return {v.x(), by.cosine * v.y() - by.sine * v.z(), by.sine * v.y() + by.cosine * v.z()};
  };
  const auto turns = sines_and_cosines<3>({angles[0], angles[1], angles[2]});
  const auto turned = [&](std::size_t joint, const Vector3d& v) -> Vector3d {
    const double s = turns.sines[joint], c = turns.cosines[joint];
    return {c * v.x() - s * v.y(), s * v.x() + c * v.y(), v.z()};
  };
  const auto across = [](const Vector3d& v) -> Vector3d { return {-v.y(), v.x(), 0}; };
  Vector3d at = turned(2, {reach_, 0, height_}), by_third = across(at), by_second;
  at = turned(1, axes_.middle * at);
  by_third = turned(1, axes_.middle.linear() * by_third);
  by_second = across(at);
  at = turned(0, Vector3d(first_.a, 0, 0) + tilted(first_.tilt, at));
  Centre centre;
  centre.place = at;
  centre.slopes << across(at), turned(0, tilted(first_.tilt, by_second)), turned(0, tilted(first_.tilt, by_third));
  return centre;
}

/// Newton's iteration on the three angles, where the arm is not singular.
Vector3d Shoulder::refined(Vector3d angles) const {
  constexpr double enough = 1e-14, singular = 1e-9;
  double least = std::numeric_limits<double>::infinity();
  Vector3d best = angles;
  for (int round = 0; round < 4; ++round) {
    const Centre centre = centre_at(angles);
    const Vector3d gap = centre_ - centre.place;
    if (!(gap.norm() < least)) break;
    least = gap.norm();
    best = angles;
    if (least < enough || std::abs(centre.slopes.determinant()) < singular) break;
    angles += centre.slopes.inverse() * gap;
  }
  return best;
}

/// Adds angles in the order shoulder, wrist.
void Shoulder::add(const Joints& shoulder_and_wrist) {
  Joints dh_angles;
  for (std::size_t i = 0; i < 6; ++i) dh_angles[axes_.joints[i]] = shoulder_and_wrist[static_cast<Eigen::Index>(i)];
  found_.add(dh_angles);
}

/// What of `turn` is left behind Rz, of an angle with sine s and cosine c.
Eigen::Matrix3d behind_turn(double s, double c, const Eigen::Matrix3d& turn) {
  Eigen::Matrix3d left;
  left << c * turn.row(0) + s * turn.row(1), c * turn.row(1) - s * turn.row(0), turn.row(2);
  return left;
}

/// Orientation left for the wrist: Rz(θ4) Rx(α4) Rz(θ5) Rx(α5) Rz(θ6).
void Shoulder::with_wrist(double first, double second, double third) {
  const auto [sines, cosines] = sines_and_cosines<3>({first, second, third});
  Eigen::Matrix3d left = behind_turn(sines[0], cosines[0], axes_.target.linear());
  const Eigen::RowVector3d untilted = left.row(1);
  left.row(1) = first_.tilt.cosine * untilted + first_.tilt.sine * left.row(2);
  left.row(2) = first_.tilt.cosine * left.row(2) - first_.tilt.sine * untilted;
  left = axes_.middle.linear().transpose() * behind_turn(sines[1], cosines[1], left);
  left = axes_.last.linear().transpose() * behind_turn(sines[2], cosines[2], left);
  const NormalLink &fourth = axes_.wrist1, &fifth = axes_.wrist2;
  const Planar axis6{left(0, 2), left(1, 2)}, axis4{left(2, 0), left(2, 1)};
  const auto bend = middle_angle(fourth, fifth, left(2, 2), axis6.size());
  if (!bend) return;
  const bool straight = axis6.size() < vanishing;
  found_.singular = found_.singular || straight;
  for (const double angle : {*bend, -*bend}) {
    const double s = std::sin(angle), c = std::cos(angle);
    Joints dh_angles;
    dh_angles << first, second, third, 0, angle, 0;
    if (straight) {
      // Axes 4 and 6 lie along one line: only their sum or difference is fixed.
      const double s4 = std::sin(reference_[3]), c4 = std::cos(reference_[3]);
      const Eigen::RowVector3d x = c4 * left.row(0) + s4 * left.row(1);
      const Eigen::RowVector3d y = c4 * left.row(1) - s4 * left.row(0);
      const Eigen::RowVector3d tilted = fourth.tilt.cosine * y + fourth.tilt.sine * left.row(2);
      const Eigen::RowVector3d turned = c * x + s * tilted;
      dh_angles[3] = reference_[3];
      dh_angles[5] = std::atan2(-turned[1], turned[0]);
    } else {
      const Planar seen_from_4{s * fifth.tilt.sine,
                               -fourth.tilt.cosine * c * fifth.tilt.sine - fourth.tilt.sine * fifth.tilt.cosine};
      const Planar seen_from_6{s * fourth.tilt.sine,
                               fifth.tilt.cosine * c * fourth.tilt.sine + fifth.tilt.sine * fourth.tilt.cosine};
      dh_angles[3] = axis6.angle() - seen_from_4.angle();
      dh_angles[5] = seen_from_6.angle() - axis4.angle();
    }
    add(dh_angles);
    if (angle == 0) break;
  }
}

}  // namespace

Candidates meeting_candidates(const MeetingAxes& axes, const Joints& reference) {
  Candidates found;
  Shoulder(axes, reference, found).solve();
  return found;
}

}  // namespace cellproof
