// SPDX-License-Identifier: GPL-3.0-or-later
// Five of six joints eliminated: a matrix, quadratic in tan(θ3 / 2), that is singular where the loop closes.
// M. Raghavan, B. Roth, J. Mech. Des. 115(3):502-508, 1993; as an eigenproblem with a change of variable:
// D. Manocha, J. F. Canny, IEEE Trans. Robotics Automation 10(5):648-657, 1994.
#pragma once

#include <vector>

#include "kinematics/inverse/loop_closure.hpp"

namespace cellproof {

/// cosine cos θ3 + sine sin θ3 + constant, on the products of 1, x … x³ of x = tan(θ4 / 2), highest first (slow), and
/// 1, x, x² of tan(θ5 / 2), highest first (fast).
struct Eliminated {
  using Matrix = Eigen::Matrix<double, 12, 12>;
  Matrix cosine, sine, constant;

  Matrix at(double third) const;
};

Eliminated eliminate(const ClosureEquations& equations);

/// Where the variable tan((θ3 − θ0) / 2) has its origin, so that the matrix at θ0 + π is as regular as can be.
struct Opening {
  double origin = 0;
  double regularity = 0;  ///< reciprocal condition number there, about; near zero: this elimination says nothing
};

Opening best_opening(const Eliminated& matrix);

struct ThreeAngles {
  double third = 0, fourth = 0, fifth = 0;
};

/// Where the matrix is singular, with the two other angles that go with it. Roots that fall together to within 1e-3 are
/// given in every way in which they can be read: candidates, not solutions.
std::vector<ThreeAngles> singular_angles(const Eliminated& matrix, const Opening& opening);

}  // namespace cellproof
