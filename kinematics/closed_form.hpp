// SPDX-License-Identifier: GPL-3.0-or-later
// What the closed forms share: an arm in one normal form, whatever its convention, and the list of candidates.
#pragma once

#include <array>
#include <optional>

#include "kinematics/inverse.hpp"
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

/// DH angles that may put the flange where it should be; to be verified.
struct Candidates {
  std::array<Joints, 32> angles;
  std::size_t count = 0;
  bool singular = false;  ///< a continuum exists

  void add(const Joints& dh_angles) {
    if (count < angles.size()) angles[count++] = dh_angles;
  }
};

/// `reference` are DH angles for joints that are free.
Candidates spherical_candidates(const NormalChain& chain, const Pose& target, const Joints& reference);
Candidates parallel_candidates(const NormalChain& chain, const Pose& target, const Joints& reference);

/// Lengths over the length scale, and sines, below this are zero: the joint that they would fix is free.
inline constexpr double vanishing = 1e-10;

/// The angle in [0, pi] from 1 − cos and 1 + cos, times any common factor > 0. Nothing if it is not real; a miss by
/// less than 1e-9 counts as touching.
std::optional<double> angle_between(double one_minus_cosine, double one_plus_cosine);

/// θ5 in [0, pi] (−θ5 serves as well) of Rz(θ4) L4 Rz(θ5) L5 Rz(θ6) from the cosine of the angle between axes 4 and 6
/// and its sine, which is the more accurate near zero.
std::optional<double> fifth_angle(const NormalChain& chain, double axes_cosine, double axes_sine);

/// The elbow of two links in a plane that span `distance`: the angle between them in [0, pi], its negative serves as
/// well.
std::optional<double> elbow_angle(double first, double second, double distance);

}  // namespace cellproof
