// SPDX-License-Identifier: GPL-3.0-or-later
// What the closed forms share: an arm in one normal form, whatever its convention, and the list of candidates.
#pragma once

#include <array>
#include <cmath>
#include <optional>

#include "kinematics/inverse/arm_structure.hpp"
#include "kinematics/turn.hpp"

namespace cellproof {

/// What follows a joint's turn: Tz(d) Tx(a) Rx(alpha). Lengths over the arm's length scale.
struct NormalLink {
  double a = 0, d = 0, alpha = 0;
  Turn tilt;
};

/// Rz(θ1) L1 Rz(θ2) L2 … L5 Rz(θ6), d of the first link zero; θ are whole DH angles, `theta` included. What the table
/// has before and after is in `base_to_chain` and `flange_to_chain`.
struct NormalChain {
  double length = 1;  ///< mm
  std::array<NormalLink, 5> links;
  Pose base_to_chain = Pose::Identity();    ///< undoes what stands before joint 1 (mm)
  Pose flange_to_chain = Pose::Identity();  ///< undoes what stands after joint 6 (mm)

  /// Link 6's pose in the chain, lengths over `length`, for a pose of the flange (mm).
  Pose target(const Pose& flange_in_base) const;
};

NormalChain normal_chain(const Arm& arm);
ArmStructure structure_of(const NormalChain& chain);

/// The chain with three axes made to meet or parallel that nearly do so, if there are such.
std::optional<NormalChain> nearly_structured(const NormalChain& chain);

/// The same arm seen from its hand: joint 6 first, the same angles. Its target is `reversed` as well.
NormalChain reversed(const NormalChain& chain);
Pose reversed(const Pose& target);

Pose link_pose(const NormalLink& link);

/// DH angles that may put the flange where it should be; to be verified.
struct Candidates {
  std::array<Joints, 96> angles;
  std::size_t count = 0;
  double touching = 0;  ///< what misses a double root by less, relatively, is tried as one
  bool unsure = false;  ///< a joint is free, and nowhere that was tried the loop closed

  void add(const Joints& dh_angles) {
    if (count < angles.size()) angles[count++] = dh_angles;
  }
};

/// Three axes that meet (`wrist`) carried by three others (`shoulder`), whichever joints of the arm these are:
/// Rz(s1) first Rz(s2) middle Rz(s3) last Rz(w1) wrist1 Rz(w2) wrist2 Rz(w3) = target.
struct MeetingAxes {
  std::array<Eigen::Index, 6> joints;  ///< of the arm (0-based), in the order above
  NormalLink first;                    ///< its d is zero
  Pose middle, last;
  NormalLink wrist1, wrist2;
  Pose target;
};

/// Three parallel axes (p) and the three others:
/// Rz(z) before Rz(p1) link1 Rz(p2) link2 Rz(p3) after Rz(x) hand Rz(y) = target.
struct ParallelAxes {
  std::array<Eigen::Index, 6> joints;  ///< z, p1, p2, p3, x, y: of the arm (0-based)
  Pose before;
  NormalLink link1, link2, after, hand;
  Pose target;
};

/// The arm's loop cut where `structure` wants it.
MeetingAxes meeting_axes(const NormalChain& chain, const Pose& target, int first);
ParallelAxes parallel_axes(const NormalChain& chain, const Pose& target, int first);

/// `reference` are DH angles for joints that are free; `touching` see Candidates.
Candidates meeting_candidates(const MeetingAxes& axes, const Joints& reference, double touching);
Candidates parallel_candidates(const ParallelAxes& axes, const Joints& reference, double touching);

/// Lengths over the length scale, and sines, below this are zero: the joint that they would fix is free.
inline constexpr double vanishing = 1e-10;

/// Below this the terms that a closed form's route leaves out are left to Newton's iteration.
inline constexpr double nearly_vanishing = 1e-6;

/// Where a joint is free below `vanishing`, it is tried as if it were up to here: where solutions fall together, what
/// leads to it has few digits. Newton's iteration finds from there what there is.
inline constexpr double barely = 5e-3;

/// What misses a double root by less than this, relative to what it is made of, is tried as one: the terms that are
/// left out can take it that far off. Verified like any candidate, it costs nothing but time.
inline constexpr double closely_touching = 4e-6;

/// The same where that finds nothing: several roots that fall together leave few digits.
inline constexpr double loosely_touching = 1e-2;

/// Rz(angle) v, by the angle's sine and cosine.
inline Vector3d turned(const Turn& by, const Vector3d& v) {
  return {by.cosine * v.x() - by.sine * v.y(), by.sine * v.x() + by.cosine * v.y(), v.z()};
}
/// Rx(angle) v
inline Vector3d tilted(const Turn& by, const Vector3d& v) {
  return {v.x(), by.cosine * v.y() - by.sine * v.z(), by.sine * v.y() + by.cosine * v.z()};
}
inline Turn undone(const Turn& by) {
  return {-by.sine, by.cosine};
}

/// constant + cosine cos φ + sine sin φ
struct CircularForm {
  double constant = 0, cosine = 0, sine = 0;
  double at(const Turn& phi) const { return constant + cosine * phi.cosine + sine * phi.sine; }
  double slope(const Turn& phi) const { return sine * phi.cosine - cosine * phi.sine; }
};

/// The angle in [0, pi] from 1 − cos and 1 + cos, times any common factor > 0. Nothing if it is not real; a miss by
/// less than `touching`, relatively, counts as touching.
std::optional<double> angle_between(double one_minus_cosine, double one_plus_cosine, double touching);

/// The angle in [0, pi] (its negative serves as well) between two links that tilt by `before` and `after`, from the
/// cosine of the angle between the axes at their ends and its sine, which is the more accurate near zero.
std::optional<double> middle_angle(const NormalLink& before, const NormalLink& after, double axes_cosine,
                                   double axes_sine, double touching);

/// The elbow of two links in a plane that span `distance`: the angle between them in [0, pi], its negative serves as
/// well.
std::optional<double> elbow_angle(double first, double second, double distance, double touching);

}  // namespace cellproof
