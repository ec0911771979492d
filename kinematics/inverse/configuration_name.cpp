// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/configuration_name.hpp"

#include <cmath>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/arm_layout.hpp"
#include "kinematics/inverse/closed_form.hpp"

namespace cellproof {
namespace {

constexpr double nothing = 1e-9;

bool vanishes(double x) {
  return std::abs(x) < nothing;
}

std::string shoulder_and_elbow(const ByJoint<JointAxis>& axes, const Vector3d& wrist, const Vector3d& hand,
                               double length) {
  const Vector3d &up = axes[0].direction, &common = axes[1].direction, from_axis1 = hand - axes[0].point;
  const double offset = common.dot(from_axis1), front = common.dot(up.cross(from_axis1));
  const double side = vanishes(offset / length) ? front : front * offset;
  const double bend = common.dot((axes[2].point - axes[1].point).cross(wrist - axes[2].point));
  return std::string(side > 0 ? "shoulder left" : "shoulder right") +
         (bend * front > 0 ? ", elbow up" : ", elbow down");
}

}  // namespace

std::string configuration_name(const Arm& arm, const Joints& values) {
  const ArmLayout layout = arm_layout(arm);
  if (layout == ArmLayout::other) return "";
  const double length = normal_chain(arm).length;
  const auto axes = joint_axes(arm, arm_frames(arm, values));
  const double fifth = arm.rows[4].theta + arm.dh_from_values.row(4).dot(values);
  const std::string wrist = std::sin(fifth) < 0 ? "wrist flipped" : "wrist not flipped";
  if (layout == ArmLayout::wrist_only) return wrist;
  if (layout == ArmLayout::spherical_wrist) {
    const Vector3d& centre = axes[4].point;
    return shoulder_and_elbow(axes, centre, centre, length) + ", " + wrist;
  }
  // The frame between joints 5 and 6 has its origin where their axes meet.
  const Vector3d& hand = axes[arm.convention == DhConvention::standard ? 5 : 4].point;
  return shoulder_and_elbow(axes, axes[3].point, hand, length) + ", " + wrist;
}

}  // namespace cellproof
