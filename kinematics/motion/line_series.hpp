// SPDX-License-Identifier: GPL-3.0-or-later
// The ideal motion of a line around one of its points: its Taylor series, with a proven bound on what that leaves out.
#pragma once

#include <array>
#include <optional>

#include "kinematics/motion/path.hpp"

namespace cellproof {

/// Around a point of a line, for all s within `half` of it, by DH angles (dh_from_values · values).
/// There is one smooth joint motion through that point that keeps the tcp on the line, its Jacobian keeps its rank all
/// the way, and it is the series plus at most `fifth` · |ahead|⁵ / 120 plus `off`.
struct LineSeries {
  double half = 0;
  Joints angles = Joints::Zero();       ///< at the middle
  std::array<Joints, 4> derivatives{};  ///< by s, of order 1 to 4, at the middle
  Joints fifth = Joints::Zero();        ///< upper bound of the fifth derivative's size
  Joints off = Joints::Zero();          ///< rad: the middle's values are only settled to rounding
  Joints ball = Joints::Zero();         ///< rad: no other solution is so near to this one, anywhere on the span
  double tool_off = 0;                  ///< rad, lengths over length_scale; 0 unless a joint is held
  int held = -1;                        ///< the joint (by DH angle) that is kept at rest, see below

  double strain = 0;  ///< 0 to 1: how near the span is to the longest on which a bound can be proven

  Joints at(double ahead) const;  ///< the series
  Joints remainder() const;       ///< upper bound on what the series leaves out
  /// Upper bound, joint by joint, on the distance (rad) from the straight way between the series' two ends.
  Joints from_chord() const;
};

/// The series around `values`, which must be settled on the line at s. Nothing if no bound can be proven on so long a
/// span: a singular pose is too near.
///
/// Method of majorants (A.-L. Cauchy). From S(θ) θ' = T(s), S the joints' axes and T the tool's twist about a point
/// that stands still, with A = S⁻¹ at the middle: θ' = A T − (A S − 1) θ'. The first derivatives of S are Lie brackets
/// and are taken as they are; the further ones are nested brackets, bounded by levers. For any weights d then θ_i' is
/// majorised by d_i φ', φ' = 1 + loss(φ) φ' with loss growing from 0 by coefficients that are all positive, and every
/// derivative of θ_i is bounded by that of d_i φ.
std::optional<LineSeries> line_series(const Arm& arm, const LinearTarget& line, double s, const Joints& values,
                                      double half);

/// The same where a line passes straight through a singular pose that it does not need the lost axis for: one joint,
/// which is at rest on the line, is kept at rest, the others follow by least squares, and `tool_off` bounds how far
/// that leaves the line.
std::optional<LineSeries> line_series_held(const Arm& arm, const LinearTarget& line, double s, const Joints& values,
                                           double half, int held);

/// Bounds on the joint values' third and fourth derivative over the span of a series.
PieceBend bend_of(const LineSeries& series, const Jacobian& values_from_dh);

}  // namespace cellproof
