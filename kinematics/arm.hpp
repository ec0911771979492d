// SPDX-License-Identifier: GPL-3.0-or-later
// A six-axis arm as its DH table and its limits: plain data.
#pragma once

#include <vector>

#include "kinematics/dh_row.hpp"
#include "kinematics/numbered.hpp"
#include "kinematics/types.hpp"

namespace cellproof {

/// standard: Rz(q+theta) Tz(d) Tx(a) Rx(alpha). modified (Craig): Rx(alpha) Tx(a) Rz(q+theta) Tz(d).
enum class DhConvention { standard, modified };

/// Limits of one joint, by the controller's value: rad, rad/s, rad/s^2.
struct JointLimits {
  double min = 0, max = 0, speed = 0, acceleration = 0;
};

/// min <= coefficients · values <= max (rad).
struct SumLimit {
  Joints coefficients = Joints::Zero();
  double min = 0, max = 0;
};

struct Arm {
  DhConvention convention = DhConvention::standard;
  ByJoint<DhRow> rows{};
  /// DH angles (without theta) = dh_from_values · controller's values: signs on the diagonal, couplings beside it.
  Eigen::Matrix<double, 6, 6> dh_from_values = Eigen::Matrix<double, 6, 6>::Identity();
  ByJoint<JointLimits> limits{};
  std::vector<SumLimit> sum_limits;
  Pose flange_in_link6 = Pose::Identity();
};

/// Σ √(a² + d²) over the rows (mm): the arm's length scale. Also an upper bound of link 6's distance from the base.
double length_scale(const Arm& arm);

/// True if every joint and every sum of joints is within its limits, to within `slack` (rad).
bool within_limits(const Arm& arm, const Joints& values, double slack = 1e-9);

/// The least distance (rad) of any joint, or sum of joints, from its limits; negative outside.
double limit_margin(const Arm& arm, const Joints& values);

}  // namespace cellproof
