// SPDX-License-Identifier: GPL-3.0-or-later
// Arms of which three consecutive axes meet: D. L. Pieper, "The Kinematics of Manipulators under Computer Control",
// 1968. The point where they meet, the wrist's centre, depends on the three other joints only; its distance from the
// first of their frames and its height on that axis hold no θ1, and eliminating θ2 between them leaves a trigonometric
// polynomial of degree two in θ3. θ1 to θ3 are the shoulder's joints here and θ4 to θ6 the wrist's, wherever the arm
// has them.
#include <cmath>

#include <Eigen/LU>

#include "kinematics/entry.hpp"
#include "kinematics/inverse/closed_form.hpp"
#include "kinematics/inverse/free_joint.hpp"
#include "kinematics/inverse/trigonometric_roots.hpp"
#include "kinematics/sines.hpp"

namespace cellproof {
namespace {

struct Planar {
  double x = 0, y = 0;
  double size() const { return std::sqrt(x * x + y * y); }
  double angle() const { return std::atan2(y, x); }
};

/// With its sine and cosine.
struct Angle {
  double value = 0;
  Turn turn;
};

Angle with_turn(double value) {
  return {value, sine_and_cosine(value)};
}

/// From where `from` points to where `to` does.
Angle angle_from(const Planar& from, const Planar& to) {
  const Planar seen{from.x * to.x + from.y * to.y, from.x * to.y - from.y * to.x};
  const double size = seen.size();
  if (size == 0) return {};
  return {seen.angle(), {seen.y / size, seen.x / size}};
}

/// θ1, θ2 and φ.
struct ArmAngles {
  Angle first, second, third;

  Vector3d values() const { return {first.value, second.value, third.value}; }
};

ArmAngles arm_at(const Vector3d& values) {
  const auto [sines, cosines] = sines_and_cosines<3>({values[0], values[1], values[2]});
  return {
      {values[0], {sines[0], cosines[0]}}, {values[1], {sines[1], cosines[1]}}, {values[2], {sines[2], cosines[2]}}};
}

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
    const Turn lead = sine_and_cosine(lead_);
    for (Eigen::Index i = 0; i < 3; ++i) last_.col(i) = turned(lead, axes.last.linear().col(i));
    height_ = beyond.z();
    for (int i = 0; i < 3; ++i) {
      const auto row = axes.middle.linear().row(i);
      entry(middle_, i) = {axes.middle.translation()[i] + row[2] * height_, row[0] * reach_, row[1] * reach_};
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
  // The centre in frame 1, before θ2 turns it: (beside_x, beside_y), and along axis 2 `lift`.
  const CircularForm& beside_x() const { return middle_[0]; }
  const CircularForm& beside_y() const { return middle_[1]; }
  const CircularForm& lift() const { return middle_[2]; }

  /// What θ2 must add to the squared distance: centre² − (…) = 2 a1 (cos θ2 x − sin θ2 y).
  CircularForm distance_gap() const {
    const Vector3d offset = axes_.middle.linear().transpose() * axes_.middle.translation();
    const double fixed = first_.a * first_.a + axes_.middle.translation().squaredNorm() + reach_ * reach_ +
                         height_ * height_ + 2 * offset.z() * height_;
    return {centre_.squaredNorm() - fixed, -2 * offset.x() * reach_, -2 * offset.y() * reach_};
  }

  /// What θ2 must add to the height: centre_z − (…) = sin α1 (sin θ2 x + cos θ2 y).
  CircularForm height_gap() const {
    const CircularForm along = lift();
    const double c = first_.tilt.cosine;
    return {centre_.z() - c * along.constant, -c * along.cosine, -c * along.sine};
  }

  void by_parallel_axes();
  void by_distance();
  void by_height();
  void by_both();
  void second_from_height(const Angle& phi);
  void second_from_distance(const Angle& phi);
  void with_first(const Angle& first);
  template <typename Rest>
  void with_each(const AngleRoots& roots, double reference, const Rest& rest);
  template <typename Rest>
  void with_any(double reference, const Rest& rest);
  void with_second_and_third(const Angle& second, const Angle& phi);
  struct Centre {
    Vector3d place;
    Eigen::Matrix3d slopes;
  };
  Centre centre_at(const ArmAngles& arm) const;
  ArmAngles refined(ArmAngles arm) const;
  void with_wrist(const ArmAngles& arm);
  Vector3d seen_from_3(const ArmAngles& arm, const Vector3d& v) const;
  Joints with_straight_wrist(Joints dh_angles, const Turn& bend, const ArmAngles& arm) const;

  void add(const Joints& shoulder_and_wrist);

  const MeetingAxes& axes_;
  const Vector3d centre_;
  Joints reference_;
  Candidates& found_;
  const NormalLink& first_ = axes_.first;
  std::array<CircularForm, 3> middle_;
  double reach_ = 0, lead_ = 0, height_ = 0;
  Eigen::Matrix3d last_;                            ///< the rotation of `last`, turned by `lead`: what follows φ
  const Planar about_1_{centre_.x(), centre_.y()};  ///< the centre as axis 1 sees it
};

/// Axes 2 and 3 parallel: the centre's place along them gives θ1, and two links in a plane the rest.
void Shoulder::by_parallel_axes() {
  const double s = first_.tilt.sine, c = first_.tilt.cosine, along = lift().constant;
  const AngleRoots first =
      roots_of(c * centre_.z() - along, -s * centre_.y(), s * centre_.x(), vanishing, found_.touching);
  with_each(first, reference_[0], [this](const Angle& angle) { with_first(angle); });
}

/// Two links in a plane: the upper arm as seen from frame 2 points at θ3 = `fold` + lead; the forearm is `reach`.
void Shoulder::with_first(const Angle& turning) {
  const double s = first_.tilt.sine, c = first_.tilt.cosine;
  const Vector2d upper = axes_.middle.translation().head<2>();
  const Vector2d seen = axes_.middle.linear().topLeftCorner<2, 2>().transpose() * upper;
  const double fold = std::atan2(seen.y(), seen.x());
  const auto [sine, cosine] = turning.turn;
  const double x = cosine * centre_.x() + sine * centre_.y() - first_.a;
  const double y = c * (cosine * centre_.y() - sine * centre_.x()) + s * centre_.z();
  const Planar span{x, y};
  const auto elbow = elbow_angle(upper.norm(), reach_, span.size(), found_.touching);
  if (!elbow) return;
  for (const double bend : {*elbow, -*elbow}) {
    const Angle phi = with_turn(fold + bend);
    const Planar beside{beside_x().at(phi.turn), beside_y().at(phi.turn)};
    const auto with_second = [&](const Angle& second) { with_wrist({turning, second, phi}); };
    if (span.size() < nearly_vanishing) with_any(reference_[1], with_second);
    if (span.size() >= vanishing) with_second(angle_from(beside, span));
    if (bend == 0) break;
  }
}

/// Axes 1 and 2 meet: the distance holds no θ2.
void Shoulder::by_distance() {
  const CircularForm gap = distance_gap();
  with_each(roots_of(gap.constant, gap.cosine, gap.sine, vanishing, found_.touching), reference_[2] - lead_,
            [this](const Angle& phi) { second_from_height(phi); });
}

/// Axes 1 and 2 are parallel: the height holds no θ2.
void Shoulder::by_height() {
  const CircularForm gap = height_gap();
  with_each(roots_of(gap.constant, gap.cosine, gap.sine, vanishing, found_.touching), reference_[2] - lead_,
            [this](const Angle& phi) { second_from_distance(phi); });
}

void Shoulder::by_both() {
  const CircularForm distance = distance_gap(), height = height_gap(), x = beside_x(), y = beside_y();
  const double s = first_.tilt.sine, a = 2 * first_.a;
  const auto square_of = [](const CircularForm& form, double factor) {
    return squared(factor * form.constant, factor * form.cosine, factor * form.sine);
  };
  const TrigonometricPolynomial balance =
      square_of(distance, s) + square_of(height, a) + -1.0 * (square_of(x, a * s) + square_of(y, a * s));
  with_each(roots_of(balance, found_.touching), reference_[2] - lead_, [&](const Angle& phi) {
    const Planar beside{x.at(phi.turn), y.at(phi.turn)}, wanted{distance.at(phi.turn) / a, height.at(phi.turn) / s};
    const auto with_second = [&](const Angle& second) { with_second_and_third(second, phi); };
    if (beside.size() < nearly_vanishing) with_any(reference_[1], with_second);
    if (beside.size() >= vanishing) with_second(angle_from(beside, wanted));
  });
}

/// What is said of a joint by `roots`, which may leave it free.
template <typename Rest>
void Shoulder::with_each(const AngleRoots& roots, double reference, const Rest& rest) {
  if (roots.everywhere) with_any(reference, rest);
  for (const double angle : roots) rest(with_turn(angle));
}

/// A joint that is free.
template <typename Rest>
void Shoulder::with_any(double reference, const Rest& rest) {
  place_free_joint(reference, found_, [&](double angle) { rest(with_turn(angle)); });
}

void Shoulder::second_from_height(const Angle& phi) {
  const double s = first_.tilt.sine;
  with_each(roots_of(-height_gap().at(phi.turn), s * beside_y().at(phi.turn), s * beside_x().at(phi.turn), vanishing,
                     found_.touching),
            reference_[1], [&](const Angle& second) { with_second_and_third(second, phi); });
}

void Shoulder::second_from_distance(const Angle& phi) {
  const double a = 2 * first_.a;
  with_each(roots_of(-distance_gap().at(phi.turn), a * beside_x().at(phi.turn), -a * beside_y().at(phi.turn), vanishing,
                     found_.touching),
            reference_[1], [&](const Angle& second) { with_second_and_third(second, phi); });
}

void Shoulder::with_second_and_third(const Angle& second, const Angle& phi) {
  const auto [s2, c2] = second.turn;
  const double x = beside_x().at(phi.turn), y = beside_y().at(phi.turn);
  const double forward = first_.a + c2 * x - s2 * y;
  const double sideways = first_.tilt.cosine * (s2 * x + c2 * y) - first_.tilt.sine * lift().at(phi.turn);
  const auto with_first = [&](const Angle& first) { with_wrist(refined({first, second, phi})); };
  if (about_1_.size() < nearly_vanishing) with_any(reference_[0], with_first);
  if (about_1_.size() >= vanishing) with_first(angle_from({forward, sideways}, about_1_));
}

/// The centre and its derivatives by θ1, θ2 and φ.
Shoulder::Centre Shoulder::centre_at(const ArmAngles& arm) const {
  const Turn &first = arm.first.turn, &second = arm.second.turn, &third = arm.third.turn;
  const auto across = [](const Vector3d& v) -> Vector3d { return {-v.y(), v.x(), 0}; };
  const Vector3d beyond_3 = turned(third, {reach_, 0, height_});
  const Vector3d beyond_2 = turned(second, axes_.middle * beyond_3);
  const Vector3d by_third = turned(second, axes_.middle.linear() * across(beyond_3));
  Centre centre;
  centre.place = turned(first, Vector3d(first_.a, 0, 0) + tilted(first_.tilt, beyond_2));
  centre.slopes << across(centre.place), turned(first, tilted(first_.tilt, across(beyond_2))),
      turned(first, tilted(first_.tilt, by_third));
  return centre;
}

/// Newton's iteration on the three angles, where the arm is not singular: a wrist near the end of its travel asks for
/// more digits than an elimination leaves.
ArmAngles Shoulder::refined(ArmAngles arm) const {
  constexpr double enough = 5e-14, singular = 1e-9;
  double least = std::numeric_limits<double>::infinity();
  ArmAngles best = arm;
  for (int round = 0; round < 4; ++round) {
    const Centre centre = centre_at(arm);
    const Vector3d gap = centre_ - centre.place;
    if (!(gap.norm() < least)) break;
    least = gap.norm();
    best = arm;
    if (least < enough) break;
    const auto by_first = centre.slopes.col(0), by_second = centre.slopes.col(1), by_third = centre.slopes.col(2);
    const Vector3d across_first = by_second.cross(by_third);
    const double determinant = by_first.dot(across_first);
    if (std::abs(determinant) < singular) break;
    const Vector3d change(gap.dot(across_first), gap.dot(by_third.cross(by_first)), gap.dot(by_first.cross(by_second)));
    arm = arm_at(arm.values() + change / determinant);
  }
  return best;
}

/// Adds angles in the order shoulder, wrist.
void Shoulder::add(const Joints& shoulder_and_wrist) {
  Joints dh_angles;
  for (std::size_t i = 0; i < 6; ++i) dh_angles[axes_.joints[i]] = shoulder_and_wrist[static_cast<Eigen::Index>(i)];
  found_.add(dh_angles);
}

/// A direction in the chain's frame, as seen from frame 3.
Vector3d Shoulder::seen_from_3(const ArmAngles& arm, const Vector3d& v) const {
  const Vector3d in_2 = turned(undone(arm.second.turn), tilted(undone(first_.tilt), turned(undone(arm.first.turn), v)));
  return last_.transpose() * turned(undone(arm.third.turn), axes_.middle.linear().transpose() * in_2);
}

/// Orientation left for the wrist: Rz(θ4) Rx(α4) Rz(θ5) Rx(α5) Rz(θ6).
void Shoulder::with_wrist(const ArmAngles& arm) {
  const Vector3d fourth_axis = turned(
      arm.first.turn,
      tilted(first_.tilt, turned(arm.second.turn, axes_.middle.linear() * turned(arm.third.turn, last_.col(2)))));
  const Vector3d axis6 = seen_from_3(arm, axes_.target.linear().col(2));
  const Vector3d axis4 = axes_.target.linear().transpose() * fourth_axis;
  const NormalLink &fourth = axes_.wrist1, &fifth = axes_.wrist2;
  const double off_4 = Planar{axis6.x(), axis6.y()}.size();
  const auto bend = middle_angle(fourth, fifth, axis6.z(), off_4, found_.touching);
  if (!bend) return;
  const Turn bent = sine_and_cosine(*bend);
  Joints dh_angles;
  dh_angles << arm.first.value, arm.second.value, arm.third.value + lead_, 0, *bend, 0;
  if (off_4 < barely) {
    for (const double side : {1.0, -1.0}) {
      dh_angles[4] = side * *bend;
      add(with_straight_wrist(dh_angles, {side * bent.sine, bent.cosine}, arm));
      if (*bend == 0) break;
    }
    if (off_4 < vanishing) return;
    dh_angles[4] = *bend;
  }
  // Bent the other way, what is seen from axes 4 and 6 is its own mirror image.
  const Planar seen_from_4{bent.sine * fifth.tilt.sine,
                           -fourth.tilt.cosine * bent.cosine * fifth.tilt.sine - fourth.tilt.sine * fifth.tilt.cosine};
  const Planar seen_from_6{bent.sine * fourth.tilt.sine,
                           fifth.tilt.cosine * bent.cosine * fourth.tilt.sine + fifth.tilt.sine * fourth.tilt.cosine};
  const double to_6 = Planar{axis6.x(), axis6.y()}.angle(), to_4 = Planar{axis4.x(), axis4.y()}.angle(),
               from_4 = seen_from_4.angle(), from_6 = seen_from_6.angle();
  dh_angles[3] = to_6 - from_4;
  dh_angles[5] = from_6 - to_4;
  add(dh_angles);
  if (*bend == 0) return;
  dh_angles[3] = to_6 - (pi - from_4);
  dh_angles[4] = -*bend;
  dh_angles[5] = (pi - from_6) - to_4;
  add(dh_angles);
}

/// Axes 4 and 6 lie along one line: only the sum or difference of their angles is fixed.
Joints Shoulder::with_straight_wrist(Joints dh_angles, const Turn& bend, const ArmAngles& arm) const {
  const Turn fourth = sine_and_cosine(reference_[3]);
  const auto along_x = [&](Eigen::Index column) {
    const Vector3d in_4 = turned(undone(fourth), seen_from_3(arm, axes_.target.linear().col(column)));
    return turned(undone(bend), tilted(undone(axes_.wrist1.tilt), in_4)).x();
  };
  dh_angles[3] = reference_[3];
  dh_angles[5] = std::atan2(-along_x(1), along_x(0));
  return dh_angles;
}

}  // namespace

Candidates meeting_candidates(const MeetingAxes& axes, const Joints& reference, double touching) {
  Candidates found;
  found.touching = touching;
  Shoulder(axes, reference, found).solve();
  return found;
}

}  // namespace cellproof
