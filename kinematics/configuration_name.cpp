// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/configuration_name.hpp"

#include <cmath>

#include "kinematics/closed_form.hpp"
#include "kinematics/forward.hpp"

namespace cellproof {
namespace {

constexpr double nothing = 1e-9;

bool vanishes(double x) {
  return std::abs(x) < nothing;
}

/// Axis 1 stands across the parallel axes 2 and 3: a shoulder and an elbow as people have them.
bool has_shoulder_and_elbow(const NormalChain& chain) {
  return vanishes(chain.links[0].tilt.cosine) && vanishes(chain.links[1].tilt.sine);
}

std::string shoulder_and_elbow(const std::array<JointAxis, 6>& axes, const Vector3d& wrist, const Vector3d& hand,
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
  const NormalChain chain = normal_chain(arm);
  const ArmStructure structure = structure_of(chain);
  const auto axes = joint_axes(arm, arm_frames(arm, values));
  const double fifth = arm.rows[4].theta + arm.dh_from_values.row(4).dot(values);
  const std::string wrist = std::sin(fifth) < 0 ? "wrist flipped" : "wrist not flipped";
  const bool layout = has_shoulder_and_elbow(chain);
  if (structure == ArmStructure{AxisTriple::meeting, 4}) {
    const Vector3d& centre = axes[4].point;
    return layout ? shoulder_and_elbow(axes, centre, centre, chain.length) + ", " + wrist : wrist;
  }
  if (structure == ArmStructure{AxisTriple::parallel, 2} && layout && vanishes(chain.links[4].a)) {
    // The frame between joints 5 and 6 has its origin where their axes meet.
    const Vector3d& hand = axes[arm.convention == DhConvention::standard ? 5 : 4].point;
    return shoulder_and_elbow(axes, axes[3].point, hand, chain.length) + ", " + wrist;
  }
  return "";
}

}  // namespace cellproof
