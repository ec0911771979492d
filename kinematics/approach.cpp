// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/approach.hpp"

#include <algorithm>

#include <Eigen/Cholesky>

#include "kinematics/newton.hpp"

namespace cellproof {
namespace {

using Square = Eigen::Matrix<double, 6, 6>;

/// The cost at some values, with the slope and the curvature (of least squares) of it.
struct Cost {
  double value = 0;
  Joints slope = Joints::Zero();
  Square curvature = Square::Zero();
};

/// Sums of joints beyond their limits cost so much that they hardly go there.
void add_sum_limits(const Arm& arm, const Joints& values, Cost& cost) {
  constexpr double weight = 1e8;
  for (const SumLimit& limit : arm.sum_limits) {
    const double sum = limit.coefficients.dot(values), over = sum - std::clamp(sum, limit.min, limit.max);
    if (over == 0) continue;
    cost.value += weight * over * over;
    cost.slope += weight * over * limit.coefficients;
    cost.curvature += weight * limit.coefficients * limit.coefficients.transpose();
  }
}

Cost cost_at(const Arm& arm, const ApproachRequest& request, const Joints& values) {
  const ArmFrames frames = arm_frames(arm, values);
  const Pose tool = frames.flange_in_base * request.tool_in_flange;
  Twist gap = pose_difference(tool, request.tool_in_base);
  Jacobian jacobian = jacobian_at(arm, frames, tool.translation());
  gap.head<3>() *= request.weight_per_mm;
  jacobian.topRows<3>() *= request.weight_per_mm;
  Cost cost{gap.squaredNorm(), -jacobian.transpose() * gap, jacobian.transpose() * jacobian};
  if (request.within_limits) add_sum_limits(arm, values, cost);
  return cost;
}

Joints clamped(const Arm& arm, Joints values) {
  for (Eigen::Index j = 0; j < 6; ++j) {
    const JointLimits& limit = arm.limits[static_cast<std::size_t>(j)];
    values[j] = std::clamp(values[j], limit.min, limit.max);
  }
  return values;
}

/// A joint at its limit that the slope drives further stays where it is.
void hold_at_limits(const Arm& arm, const Joints& values, Cost& cost) {
  for (Eigen::Index j = 0; j < 6; ++j) {
    const JointLimits& limit = arm.limits[static_cast<std::size_t>(j)];
    const bool held = (values[j] <= limit.min && cost.slope[j] > 0) || (values[j] >= limit.max && cost.slope[j] < 0);
    if (!held) continue;
    cost.slope[j] = 0;
    cost.curvature.row(j).setZero();
    cost.curvature.col(j).setZero();
    cost.curvature(j, j) = 1;
  }
}

}  // namespace

Approach approach(const Arm& arm, const ApproachRequest& request, const Joints& start) {
  constexpr double most_damping = 1e12, enough = 1e-30;
  Joints values = request.within_limits ? clamped(arm, start) : start;
  Cost cost = cost_at(arm, request, values);
  double damping = 1e-4;
  for (int round = 0; round < request.rounds && cost.value > enough && damping < most_damping; ++round) {
    Cost held = cost;
    if (request.within_limits) hold_at_limits(arm, values, held);
    Square damped = held.curvature;
    damped.diagonal().array() += damping * (held.curvature.trace() / 6 + 1e-12);
    const Joints step = -damped.ldlt().solve(held.slope);
    const Joints next = request.within_limits ? clamped(arm, values + step) : Joints(values + step);
    const Cost there = cost_at(arm, request, next);
    if (!(there.value < cost.value)) {
      damping *= 8;
      continue;
    }
    const bool settled = there.value > 0.999999 * cost.value && damping < 1e-3;
    values = next;
    cost = there;
    damping = std::max(damping / 8, 1e-14);
    if (settled) break;
  }
  return {values, cost.value};
}

}  // namespace cellproof
