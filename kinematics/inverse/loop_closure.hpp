// SPDX-License-Identifier: GPL-3.0-or-later
// The closed loop of six turning joints, and its fourteen equations that are linear in two pairs of angles.
// M. Raghavan, B. Roth, J. Mech. Des. 115(3):502-508, 1993.
#pragma once

#include <array>

#include "kinematics/inverse/closed_form.hpp"

namespace cellproof {

/// Rz(θ1) G1 Rz(θ2) G2 … Rz(θ6) G6 = 1; lengths over the arm's length scale. G6 leads from the flange back to the base.
/// Any joint may stand first: `turned` and `reversed` are the same loop with its joints counted otherwise.
struct Loop {
  std::array<Pose, 6> links;
  std::array<int, 6> joints{0, 1, 2, 3, 4, 5};  ///< which of the arm's joints (0-based) is the loop's i-th
};

Loop closed_loop(const NormalChain& chain, const Pose& target);

/// The loop that begins `by` joints later.
Loop turned(const Loop& loop, std::size_t by);

/// A point p and a direction l: 1, p, p·p, l, p·l, p×l, (p·p)l − 2(p·l)p. A motion of both acts linearly on it.
using LineVector = Eigen::Matrix<double, 15, 1>;
using LineMotion = Eigen::Matrix<double, 15, 15>;
LineMotion line_motion(const Pose& pose);

/// (cosine cos θ3 + sine sin θ3 + constant) m45 = right m12: m45 are the products of cos, sin and 1 of θ4 (slow) and θ5
/// (fast), m12 those of joints 2 and 1 but for the constant.
struct ClosureEquations {
  using Left = Eigen::Matrix<double, 14, 9>;
  Left cosine, sine, constant;
  Eigen::Matrix<double, 14, 8> right;
};

ClosureEquations closure_equations(const Loop& loop);

/// Six angles of a loop.
using LoopAngles = std::array<double, 6>;

/// Fills in joints 1, 2 and 6 of the loop from 3, 4 and 5. Where two values of joint 2 serve, both.
std::array<LoopAngles, 2> completed(const Loop& loop, double third, double fourth, double fifth);

}  // namespace cellproof
