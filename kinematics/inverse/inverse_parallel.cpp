// SPDX-License-Identifier: GPL-3.0-or-later
// Arms of which three consecutive axes are parallel. Along that common direction the loop says two things that those
// joints have no say in: how far the hand is from the plane of motion, and how the hand's axis leans to it. Both are
// linear in the sines and cosines of two of the other joints. The names are those of an arm whose axes 2, 3 and 4 are
// parallel: θ1 before them, θ5 and θ6 behind.
#include <algorithm>
#include <cmath>

#include "kinematics/inverse/closed_form.hpp"
#include "kinematics/inverse/free_joint.hpp"
#include "kinematics/inverse/trigonometric_roots.hpp"

namespace cellproof {
namespace {

Pose turned_about_z(double angle) {
  Pose pose = Pose::Identity();
  const auto [s, c] = sine_and_cosine(angle);
  pose.linear() << c, -s, 0, s, c, 0, 0, 0, 1;
  return pose;
}

class Hand {
 public:
  Hand(const ParallelAxes& axes, const Joints& reference, Candidates& found)
      : axes_(axes), found_(found), before_inverse_(axes.before.inverse()) {
    beside_plane_.linear().diagonal() << 1, flip_, flip_;
    NormalLink wrist = fourth_;
    wrist.d = 0;
    beside_plane_ = beside_plane_ * link_pose(wrist);
    for (std::size_t i = 0; i < 6; ++i) reference_[static_cast<Eigen::Index>(i)] = reference[axes.joints[i]];
  }

  void solve() {
    if (std::abs(fifth_.a) < nearly_vanishing) {
      by_offset();
    } else if (std::abs(fifth_.tilt.sine) < nearly_vanishing) {
      by_lean();
    } else {
      by_both();
    }
  }

 private:
  /// A vector's part along the common direction, which θ1 turns.
  CircularForm along(const Vector3d& v) const {
    return {common_.z() * v.z(), common_.x() * v.x() + common_.y() * v.y(), common_.x() * v.y() - common_.y() * v.x()};
  }
  Vector3d common_direction(double first) const { return turned(sine_and_cosine(first), common_); }

  /// sin α4 a5 sin θ5, from the hand's distance from the plane of motion.
  CircularForm offset() const {
    const double fixed = axes_.link1.d + flip2_ * axes_.link2.d + flip_ * axes_.after.d;
    CircularForm form = along(axes_.target.translation());
    form.constant -= fixed + common_.dot(axes_.before.translation());
    form = {flip_ * form.constant, flip_ * form.cosine, flip_ * form.sine};
    form.constant -= fourth_.tilt.cosine * fifth_.d;
    return form;
  }

  /// sin α4 sin α5 cos θ5, from the lean of axis 6.
  CircularForm lean() const {
    const CircularForm form = along(axes_.target.linear().col(2));
    return {fourth_.tilt.cosine * fifth_.tilt.cosine - flip_ * form.constant, -flip_ * form.cosine, -flip_ * form.sine};
  }

  struct FirstAndFifth {
    double first = 0, fifth = 0;
  };
  FirstAndFifth refined(FirstAndFifth angles, const CircularForm& sine, const CircularForm& cosine) const;
  void by_offset();
  void by_lean();
  void by_both();
  template <typename Rest>
  void with_each_first(const AngleRoots& roots, const Rest& rest);
  void with_first(double first);
  void with_first_and_fifth(double first, double fifth);
  void with_free_sixth(double first, double fifth);
  Pose in_plane_of_motion(double first) const;
  Pose hand_at(double fifth) const;
  void with_sixth(double first, double fifth, double sixth);

  void add(const Joints& in_loop_order);

  const ParallelAxes& axes_;
  Joints reference_;
  Candidates& found_;
  const NormalLink &fourth_ = axes_.after, &fifth_ = axes_.hand;
  const Vector3d common_ = axes_.before.linear().col(2);
  /// Axes 3 and 4 point with axis 2 (1) or against it (−1).
  const double flip2_ = axes_.link1.tilt.cosine > 0 ? 1 : -1;
  const double flip_ = axes_.link2.tilt.cosine > 0 ? flip2_ : -flip2_;
  const Pose before_inverse_;
  Pose beside_plane_ = Pose::Identity();  ///< what follows the plane's last joint, but for its offset along the axes
};

template <typename Rest>
void Hand::with_each_first(const AngleRoots& roots, const Rest& rest) {
  if (roots.everywhere) place_free_joint(reference_[0], found_, rest);
  for (const double first : roots) rest(first);
}

/// Axes 5 and 6 meet: the offset holds no θ5.
void Hand::by_offset() {
  const CircularForm zero = offset();
  with_each_first(roots_of(zero.constant, zero.cosine, zero.sine, vanishing, found_.touching),
                  [this](double first) { with_first(first); });
}

/// Axes 5 and 6 are parallel: the lean holds no θ5.
void Hand::by_lean() {
  const CircularForm sine = offset(), zero = lean();
  const double full = fourth_.tilt.sine * fifth_.a;
  with_each_first(roots_of(zero.constant, zero.cosine, zero.sine, vanishing, found_.touching), [&](double first) {
    const double share = sine.at(sine_and_cosine(first)) / full;
    const auto off_quarter = angle_between(1 - share, 1 + share, found_.touching);
    if (!off_quarter) return;
    for (const double angle : {*off_quarter, -*off_quarter}) with_first_and_fifth(first, pi / 2 - angle);
  });
}

void Hand::by_both() {
  const CircularForm sine = offset(), cosine = lean();
  const double a = fifth_.a, s5 = fifth_.tilt.sine, s4 = fourth_.tilt.sine;
  TrigonometricPolynomial unit_circle = squared(a * cosine.constant, a * cosine.cosine, a * cosine.sine) +
                                        squared(s5 * sine.constant, s5 * sine.cosine, s5 * sine.sine);
  unit_circle.constant -= a * a * s4 * s4 * s5 * s5;
  with_each_first(roots_of(unit_circle, found_.touching), [&](double first) {
    const Turn turn = sine_and_cosine(first);
    const auto [better, fifth] =
        refined({first, std::atan2(sine.at(turn) / (s4 * a), cosine.at(turn) / (s4 * s5))}, sine, cosine);
    with_first_and_fifth(better, fifth);
  });
}

/// Newton's iteration on both conditions: an elimination leaves few digits where sin α4 or a5 is small.
Hand::FirstAndFifth Hand::refined(FirstAndFifth angles, const CircularForm& sine, const CircularForm& cosine) const {
  const double full_sine = fourth_.tilt.sine * fifth_.a, full_cosine = fourth_.tilt.sine * fifth_.tilt.sine;
  FirstAndFifth best = angles;
  double least = std::numeric_limits<double>::infinity();
  for (int round = 0; round < 6; ++round) {
    const auto [s, c] = sine_and_cosine(angles.fifth);
    const Turn first = sine_and_cosine(angles.first);
    const double gap1 = full_sine * s - sine.at(first), gap2 = full_cosine * c - cosine.at(first);
    const double size = std::max(std::abs(gap1 / full_sine), std::abs(gap2 / full_cosine));
    if (!(size < least)) break;
    least = size;
    best = angles;
    const double slope1 = sine.slope(first), slope2 = cosine.slope(first);
    const double determinant = slope1 * full_cosine * s + full_sine * c * slope2;
    if (size < 1e-15 || determinant == 0) break;
    angles.first += (gap1 * full_cosine * s + gap2 * full_sine * c) / determinant;
    angles.fifth += (gap2 * slope1 - gap1 * slope2) / determinant;
  }
  return best;
}

void Hand::with_first(double first) {
  const Vector3d seen_from_6 = axes_.target.linear().transpose() * common_direction(first);
  const auto bend =
      middle_angle(fourth_, fifth_, flip_ * seen_from_6.z(), seen_from_6.head<2>().norm(), found_.touching);
  if (!bend) return;
  with_first_and_fifth(first, *bend);
  if (*bend > 0) with_first_and_fifth(first, -*bend);
}

void Hand::with_first_and_fifth(double first, double fifth) {
  const Vector3d seen_from_6 = axes_.target.linear().transpose() * common_direction(first);
  const double off_parallel = seen_from_6.head<2>().norm();
  if (off_parallel < barely) with_free_sixth(first, fifth);
  if (off_parallel < vanishing) return;
  const auto [s, c] = sine_and_cosine(fifth);
  const double x = flip_ * s * fourth_.tilt.sine;
  const double y = flip_ * (fifth_.tilt.cosine * c * fourth_.tilt.sine + fifth_.tilt.sine * fourth_.tilt.cosine);
  with_sixth(first, fifth, std::atan2(y, x) - std::atan2(seen_from_6.y(), seen_from_6.x()));
}

/// Axis 6 is parallel to axis 4: nothing tells their turns apart, and joints 2, 3, 4 and 6 are a linkage of four bars.
/// The squared span of its upper and lower arm is of degree one in θ6.
void Hand::with_free_sixth(double first, double fifth) {
  const Pose seen = in_plane_of_motion(first), hand = hand_at(fifth);
  const Vector3d beyond = hand.linear().transpose() * hand.translation();
  const auto in_plane = seen.linear().topRows<2>();
  const Vector2d centre = seen.translation().head<2>() - in_plane.col(2) * beyond.z();
  const Vector2d at_zero = in_plane.leftCols<2>() * beyond.head<2>();
  const Vector2d at_quarter = in_plane.leftCols<2>() * Vector2d(beyond.y(), -beyond.x());
  const CircularForm squared_span{centre.squaredNorm() + at_zero.squaredNorm(), -2 * centre.dot(at_zero),
                                  -2 * centre.dot(at_quarter)};
  const double upper = axes_.link1.a, lower = axes_.link2.a;
  const double least = std::abs(std::abs(upper) - std::abs(lower)), most = std::abs(upper) + std::abs(lower);
  for (const double sixth : nearest_within(squared_span, least * least, most * most, reference_[5], found_.touching))
    with_sixth(first, fifth, sixth);
}

Pose Hand::in_plane_of_motion(double first) const {
  return before_inverse_ * turned_about_z(-first) * axes_.target;
}

Pose Hand::hand_at(double fifth) const {
  return beside_plane_ * turned_about_z(fifth) * link_pose(fifth_);
}

/// Adds angles in the order 1 to 6 of the names used here.
void Hand::add(const Joints& in_loop_order) {
  Joints dh_angles;
  for (std::size_t i = 0; i < 6; ++i) dh_angles[axes_.joints[i]] = in_loop_order[static_cast<Eigen::Index>(i)];
  found_.add(dh_angles);
}

/// What is left is three links in a plane: what stands before and behind them is taken off the target.
void Hand::with_sixth(double first, double fifth, double sixth) {
  const Pose seen = in_plane_of_motion(first), hand = hand_at(fifth);
  const Turn back = undone(sine_and_cosine(sixth));
  const auto in_plane = seen.linear().topRows<2>();
  const Vector2d along = in_plane * turned(back, hand.linear().row(0));
  const Vector2d wrist =
      seen.translation().head<2>() - in_plane * turned(back, hand.linear().transpose() * hand.translation());
  const double span = wrist.norm();
  const double upper = axes_.link1.a, lower = axes_.link2.a;
  const auto elbow = elbow_angle(upper, lower, span, found_.touching);
  if (!elbow) return;
  const bool folded = span < vanishing;
  const double whole = std::atan2(along.y(), along.x());
  const Turn bent = sine_and_cosine(*elbow);
  const double to_wrist = std::atan2(wrist.y(), wrist.x()),
               lead = std::atan2(lower * bent.sine, upper + lower * bent.cosine);
  for (const double side : {1.0, -1.0}) {
    const double second = folded ? reference_[1] : to_wrist - side * lead, bend = side * *elbow;
    Joints dh_angles;
    dh_angles << first, second, flip2_ * bend, flip_ * (whole - second - bend), fifth, sixth;
    add(dh_angles);
    if (bend == 0) break;
  }
}

}  // namespace

Candidates parallel_candidates(const ParallelAxes& axes, const Joints& reference, double touching) {
  Candidates found;
  found.touching = touching;
  Hand(axes, reference, found).solve();
  return found;
}

}  // namespace cellproof
