// SPDX-License-Identifier: GPL-3.0-or-later
// Arms whose last three axes meet: D. L. Pieper, "The Kinematics of Manipulators under Computer Control", 1968.
// The wrist's centre depends on three joints only; its distance from the base's origin and its height on axis 1 hold no
// θ1, and eliminating θ2 between them leaves a trigonometric polynomial of degree two in θ3.
#include <cmath>

#include <Eigen/LU>

#include "kinematics/closed_form.hpp"
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
  Shoulder(const NormalChain& chain, const Pose& target, const Joints& reference, Candidates& found)
      : chain_(chain), target_(target), centre_(target.translation()), reference_(reference), found_(found) {
    const NormalLink& third = chain.links[2];
    const double along = chain.links[3].d;
    const Planar foot{third.a, -third.tilt.sine * along};
    reach_ = foot.size();
    lead_ = -foot.angle();
    height_ = third.d + third.tilt.cosine * along;
  }

  void solve() {
    if (std::abs(second_.tilt.sine) < vanishing) {
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
  Linear beside_x() const { return {second_.a, reach_, 0}; }
  Linear beside_y() const { return {-second_.tilt.sine * height_, 0, second_.tilt.cosine * reach_}; }
  Linear lift() const { return {second_.tilt.cosine * height_ + second_.d, 0, second_.tilt.sine * reach_}; }

  /// What θ2 must add to the squared distance: centre² − (…) = 2 a1 (cos θ2 x − sin θ2 y).
  Linear distance_gap() const {
    const double lift_at_rest = second_.tilt.cosine * height_;
    const double fixed = first_.a * first_.a + second_.a * second_.a + reach_ * reach_ + height_ * height_ +
                         second_.d * second_.d + 2 * second_.d * lift_at_rest;
    return {centre_.squaredNorm() - fixed, -2 * second_.a * reach_, -2 * second_.d * second_.tilt.sine * reach_};
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

  const NormalChain& chain_;
  const Pose& target_;
  const Vector3d centre_;
  const Joints& reference_;
  Candidates& found_;
  const NormalLink &first_ = chain_.links[0], &second_ = chain_.links[1];
  double reach_ = 0, lead_ = 0, height_ = 0;
};

/// Axes 2 and 3 parallel: the centre's place along them gives θ1, and two links in a plane the rest.
void Shoulder::by_parallel_axes() {
  const double s = first_.tilt.sine, c = first_.tilt.cosine, along = second_.tilt.cosine * height_ + second_.d;
  AngleRoots first = roots_of(c * centre_.z() - along, -s * centre_.y(), s * centre_.x(), vanishing);
  if (first.everywhere) {
    found_.singular = true;
    first.add(reference_[0]);
  }
  for (const double angle : first) {
    const double cosine = std::cos(angle), sine = std::sin(angle);
    const double x = cosine * centre_.x() + sine * centre_.y() - first_.a;
    const double y = c * (cosine * centre_.y() - sine * centre_.x()) + s * centre_.z();
    const Planar span{x, y};
    const auto elbow = elbow_angle(second_.a, reach_, span.size());
    if (!elbow) continue;
    const bool folded = span.size() < vanishing;
    found_.singular = found_.singular || folded;
    for (const double phi : {*elbow, -*elbow}) {
      const Planar beside{beside_x().at(phi), beside_y().at(phi)};
      with_wrist(angle, folded ? reference_[1] : span.angle() - beside.angle(), phi + lead_);
      if (phi == 0) break;
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
  for (const double phi : roots_of(balance)) {
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
  const auto turned = [](double angle, const Vector3d& v) -> Vector3d {
    const double s = std::sin(angle), c = std::cos(angle);
    return {c * v.x() - s * v.y(), s * v.x() + c * v.y(), v.z()};
  };
  const auto across = [](const Vector3d& v) -> Vector3d { return {-v.y(), v.x(), 0}; };
  Vector3d at = turned(angles[2], {reach_, 0, height_}), by_third = across(at), by_second;
  at = turned(angles[1], Vector3d(second_.a, 0, 0) + tilted(second_.tilt, at)) + Vector3d(0, 0, second_.d);
  by_third = turned(angles[1], tilted(second_.tilt, by_third));
  by_second = across(at);
  at = turned(angles[0], Vector3d(first_.a, 0, 0) + tilted(first_.tilt, at));
  Centre centre;
  centre.place = at;
  centre.slopes << across(at), turned(angles[0], tilted(first_.tilt, by_second)),
      turned(angles[0], tilted(first_.tilt, by_third));
  return centre;
}

/// Newton's iteration on the three angles, where the arm is not singular.
Vector3d Shoulder::refined(Vector3d angles) const {
  constexpr double enough = 1e-15, singular = 1e-9;
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

/// Orientation left for the wrist: Rz(θ4) Rx(α4) Rz(θ5) Rx(α5) Rz(θ6).
void Shoulder::with_wrist(double first, double second, double third) {
  Eigen::Matrix3d left = target_.linear();
  const std::array<double, 3> angles{first, second, third};
  for (std::size_t i = 0; i < 3; ++i) {
    const double s = std::sin(angles[i]), c = std::cos(angles[i]);
    const Turn& tilt = chain_.links[i].tilt;
    const Eigen::RowVector3d x = c * left.row(0) + s * left.row(1), y = c * left.row(1) - s * left.row(0),
                             z = left.row(2);
    left.row(0) = x;
    left.row(1) = tilt.cosine * y + tilt.sine * z;
    left.row(2) = tilt.cosine * z - tilt.sine * y;
  }
  const NormalLink &fourth = chain_.links[3], &fifth = chain_.links[4];
  const Planar axis6{left(0, 2), left(1, 2)}, axis4{left(2, 0), left(2, 1)};
  const auto bend = fifth_angle(chain_, left(2, 2), axis6.size());
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
    found_.add(dh_angles);
    if (angle == 0) break;
  }
}

}  // namespace

Candidates spherical_candidates(const NormalChain& chain, const Pose& target, const Joints& reference) {
  Candidates found;
  Shoulder(chain, target, reference, found).solve();
  return found;
}

}  // namespace cellproof
