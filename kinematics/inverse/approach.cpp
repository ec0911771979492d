// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/approach.hpp"

#include <algorithm>

#include <Eigen/Cholesky>

#include "kinematics/entry.hpp"
#include "kinematics/inverse/newton.hpp"

namespace cellproof {
namespace {

using Square = Eigen::Matrix<double, 6, 6>;

/// The cost at some values, with half its slope and half its curvature: exact for the position, which may stay far off,
/// that of least squares for the turn.
struct Cost {
  double value = 0;
  Joints slope = Joints::Zero();
  Square curvature = Square::Zero();
};

/// Sums of joints beyond their limits cost so much more than the rest that they hardly go there.
void add_sum_limits(const Arm& arm, const Joints& values, double weight, Cost& cost) {
  for (const SumLimit& limit : arm.sum_limits) {
    const double sum = limit.coefficients.dot(values), over = sum - std::clamp(sum, limit.min, limit.max);
    if (over == 0) continue;
    cost.value += weight * over * over;
    cost.slope += weight * over * limit.coefficients;
    cost.curvature += weight * limit.coefficients * limit.coefficients.transpose();
  }
}

/// What the point's own curving adds to the curvature, as seen along `gap`.
Square curving(const Arm& arm, const ArmFrames& frames, const Vector3d& point, const Vector3d& gap) {
  const auto axes = joint_axes(arm, frames);
  Square by_dh_angles;
  for (std::size_t j = 0; j < 6; ++j) {
    const Vector3d speed = axes[j].direction.cross(point - axes[j].point);
    for (std::size_t i = 0; i <= j; ++i) {
      const auto row = static_cast<Eigen::Index>(i), column = static_cast<Eigen::Index>(j);
      by_dh_angles(row, column) = by_dh_angles(column, row) = -gap.dot(axes[i].direction.cross(speed));
    }
  }
  return arm.dh_from_values.transpose() * by_dh_angles * arm.dh_from_values;
}

Cost cost_at(const Arm& arm, const ApproachRequest& request, const Joints& values) {
  const ArmFrames frames = arm_frames(arm, values);
  const Pose tool = frames.flange_in_base * request.tool_in_flange;
  Twist gap = pose_difference(tool, request.tool_in_base);
  Jacobian jacobian = jacobian_at(arm, frames, tool.translation());
  gap.head<3>() *= request.weight_per_mm;
  jacobian.topRows<3>() *= request.weight_per_mm;
  Cost cost{gap.squaredNorm(), -jacobian.transpose() * gap, jacobian.transpose() * jacobian};
  cost.curvature += curving(arm, frames, tool.translation(), request.weight_per_mm * gap.head<3>());
  const double scaled_weight = request.weight_per_mm * length_scale(arm);
  if (request.within_limits) add_sum_limits(arm, values, 1e6 * (1 + scaled_weight * scaled_weight), cost);
  return cost;
}

Joints clamped(const Arm& arm, Joints values) {
  for (Eigen::Index j = 0; j < 6; ++j) {
    const JointLimits& limit = entry(arm.limits, j);
    values[j] = std::clamp(values[j], limit.min, limit.max);
  }
  return values;
}

/// A joint at its limit that the slope drives further stays where it is.
void hold_at_limits(const Arm& arm, const Joints& values, Cost& cost) {
  for (Eigen::Index j = 0; j < 6; ++j) {
    const JointLimits& limit = entry(arm.limits, j);
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
  constexpr double most_damping = 1e15, enough = 1e-30, no_step = 1e-10;
  Joints values = request.within_limits ? clamped(arm, start) : start;
  Cost cost = cost_at(arm, request, values);
  double damping = 1e-3;
  for (int round = 0; round < request.rounds && cost.value > enough; ++round) {
    Cost held = cost;
    if (request.within_limits) hold_at_limits(arm, values, held);
    // Damped until the curvature is positive; an attempt costs next to nothing.
    Eigen::LLT<Square> factors;
    for (; damping < most_damping; damping *= 8) {
      factors.compute(held.curvature + damping * Square::Identity());
      if (factors.info() == Eigen::Success) break;
    }
    if (!(damping < most_damping)) break;
    const Joints step = -factors.solve(held.slope);
    const Joints next = request.within_limits ? clamped(arm, values + step) : Joints(values + step);
    const Cost there = cost_at(arm, request, next);
    if (!(there.value < cost.value)) {
      if (step.norm() < no_step) break;
      damping *= 8;
      continue;
    }
    values = next;
    cost = there;
    damping = std::max(damping / 16, 1e-14);
  }
  return {values, cost.value};
}

}  // namespace cellproof
