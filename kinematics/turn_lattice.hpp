// SPDX-License-Identifier: GPL-3.0-or-later
// A whole turn of a DH angle changes nothing in space. In the controller's values such turns form a lattice.
#pragma once

#include <vector>

#include "kinematics/arm.hpp"

namespace cellproof {

class TurnLattice {
 public:
  explicit TurnLattice(const Arm& arm);

  /// The controller's values of whole DH angles (`theta` included), each in (-pi, pi] if some choice of turns allows
  /// it, else with the least greatest value.
  Joints values_of(const Joints& whole_dh_angles) const;

  const Joints& theta() const { return theta_; }
  bool only_signs() const { return diagonal_; }

  /// By how much the DH angles of two sets of values differ.
  Joints dh_difference(const Joints& a, const Joints& b) const {
    return diagonal_ ? Joints(a - b) : Joints(dh_from_values_ * (a - b));
  }

  /// Every choice of turns of `values` within [low, high], to within 1e-9.
  std::vector<Joints> within(const Joints& values, const Joints& low, const Joints& high) const;

 private:
  Joints nearest_zero(const Joints& values) const;

  Joints theta_;
  Eigen::Matrix<double, 6, 6> dh_from_values_, values_from_dh_;
  bool diagonal_ = true;  ///< signs only: the matrix is its own inverse
  bool whole_ = true;     ///< a turn of one value is a lattice point by itself, and there are no others
};

}  // namespace cellproof
