// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/self_motion.hpp"

#include <Eigen/SVD>

#include "kinematics/inverse/newton.hpp"

namespace cellproof {

bool moves_in_place(const Arm& arm, const Joints& values, double length) {
  constexpr double singular = 1e-6, step = 0.02;
  const ArmFrames frames = arm_frames(arm, values);
  Jacobian jacobian = flange_jacobian(arm, frames);
  jacobian.topRows<3>() /= length;
  const Eigen::JacobiSVD<Jacobian> factors(jacobian, Eigen::ComputeFullV);
  for (int i = 5; i >= 0 && factors.singularValues()[i] < singular; --i) {
    const Joints idle = factors.matrixV().col(i);
    const Joints aside = values + step * idle;
    const auto settled = settle(arm, Pose::Identity(), frames.flange_in_base, aside, length);
    // Where two solutions merely fall together, the iteration falls back to them or finds another, regular one.
    if (!settled || std::abs(idle.dot(*settled - values) - step) > step / 4) continue;
    if ((*settled - aside).norm() > step / 4) continue;
    const Jacobian there = flange_jacobian(arm, arm_frames(arm, *settled));
    if (least_singular_value(there, length) < singular) return true;
  }
  return false;
}

}  // namespace cellproof
