// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/self_motion.hpp"

#include <cmath>
#include <vector>

#include <Eigen/SVD>

#include "kinematics/inverse/newton.hpp"

namespace cellproof {
namespace {

constexpr double singular = 1e-6;

Eigen::JacobiSVD<Jacobian> factors_at(const Arm& arm, const ArmFrames& frames, double length) {
  Jacobian jacobian = flange_jacobian(arm, frames);
  jacobian.topRows<3>() /= length;
  return Eigen::JacobiSVD<Jacobian>(jacobian, Eigen::ComputeFullU | Eigen::ComputeFullV);
}

/// Newton's iteration that leaves alone what a singular arm can't do: from beside a continuum to the nearest of it.
std::optional<Joints> settled_across(const Arm& arm, const Pose& flange_in_base, Joints values, double length) {
  constexpr double enough = 1e-10;  // a tenth of what a solution may be off
  constexpr int most_rounds = 24;   // where another pair of solutions falls together a step only halves the gap
  for (int round = 0; round < most_rounds; ++round) {
    const ArmFrames frames = arm_frames(arm, values);
    Twist gap = pose_difference(frames.flange_in_base, flange_in_base);
    gap.head<3>() /= length;
    if (gap.norm() < enough) return values;
    const auto factors = factors_at(arm, frames, length);
    Joints along = factors.matrixU().transpose() * gap;
    for (int i = 0; i < 6; ++i) {
      const double size = factors.singularValues()[i];
      along[i] = size > 2 * singular ? along[i] / size : 0;
    }
    values += factors.matrixV() * along;
  }
  return std::nullopt;
}

/// Where two directions are idle, curves of solutions may cross in any two of their plane.
std::vector<Joints> idle_directions(const Eigen::JacobiSVD<Jacobian>& factors) {
  std::vector<Joints> idle;
  for (int i = 5; i >= 0 && factors.singularValues()[i] < singular; --i) idle.emplace_back(factors.matrixV().col(i));
  if (idle.size() < 2) return idle;
  constexpr int directions = 24;
  const Joints first = idle[0], second = idle[1];
  for (int i = 1; i < directions; ++i)
    idle.emplace_back(std::cos(pi * i / directions) * first + std::sin(pi * i / directions) * second);
  return idle;
}

}  // namespace

bool moves_in_place(const Arm& arm, const Joints& values, double length) {
  const ArmFrames frames = arm_frames(arm, values);
  for (const Joints& idle : idle_directions(factors_at(arm, frames, length))) {
    for (const double step : {0.02, 0.004}) {  // the second for curves that bend much
      const Joints aside = values + step * idle;
      const auto settled = settled_across(arm, frames.flange_in_base, aside, length);
      // Where two solutions merely fall together, the iteration finds nothing, falls back or finds another, regular
      // one.
      if (!settled || !((*settled - aside).norm() < step / 2)) continue;
      if (least_singular_value(flange_jacobian(arm, arm_frames(arm, *settled)), length) < singular) return true;
    }
  }
  return false;
}

}  // namespace cellproof
