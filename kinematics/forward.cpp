// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/forward.hpp"

#include <cmath>

#include <Eigen/LU>
#include <Eigen/SVD>

#include "kinematics/chain_frames.hpp"

namespace cellproof {

ArmFrames arm_frames(const Arm& arm, const Joints& values) {
  static_assert(sizeof(ArmFrames) == 8 * sizeof(chain::Place));
  ArmFrames frames;
  auto* const places = reinterpret_cast<chain::Place*>(&frames);
  const chain::Numbers numbers{arm.rows.data(), arm.dh_from_values.data(), arm.flange_in_link6.data()};
  if (arm.convention == DhConvention::standard)
    chain::standard_frames(numbers, values.data(), places);
  else
    chain::modified_frames(numbers, values.data(), places);
  return frames;
}

ByJoint<JointAxis> joint_axes(const Arm& arm, const ArmFrames& frames) {
  ByJoint<JointAxis> axes;
  const std::size_t shift = arm.convention == DhConvention::standard ? 0 : 1;
  for (std::size_t i = 0; i < 6; ++i) {
    const Pose& carrier = frames.link_in_base[i + shift];
    axes[i] = {carrier.translation(), carrier.linear().col(2)};
  }
  return axes;
}

Pose flange_in_base(const Arm& arm, const Joints& values) {
  return arm_frames(arm, values).flange_in_base;
}

Jacobian jacobian_at(const Arm& arm, const ArmFrames& frames, const Vector3d& point_in_base) {
  Jacobian by_dh_angles;
  const auto axes = joint_axes(arm, frames);
  for (std::size_t i = 0; i < 6; ++i) {
    const auto column = static_cast<Eigen::Index>(i);
    by_dh_angles.col(column) << axes[i].direction.cross(point_in_base - axes[i].point), axes[i].direction;
  }
  return by_dh_angles * arm.dh_from_values;
}

Jacobian flange_jacobian(const Arm& arm, const ArmFrames& frames) {
  return jacobian_at(arm, frames, frames.flange_in_base.translation());
}

double manipulability(const Jacobian& jacobian) {
  return std::abs(jacobian.determinant()) * 1e-9;
}

double least_singular_value(const Jacobian& jacobian, double length) {
  Jacobian scaled = jacobian;
  scaled.topRows<3>() /= length;
  return Eigen::JacobiSVD<Jacobian>(scaled).singularValues()[5];
}

}  // namespace cellproof
