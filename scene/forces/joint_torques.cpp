// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/joint_torques.hpp"

namespace cellproof {

namespace {

/// A link's motion in base axes: turning and the acceleration of a point on its own joint's axis.
struct LinkMotion {
  Vector3d turning = Vector3d::Zero(), turning_change = Vector3d::Zero(), acceleration = Vector3d::Zero();

  Vector3d acceleration_at(const Vector3d& offset) const {
    return acceleration + turning_change.cross(offset) + turning.cross(turning.cross(offset));
  }
};

using LinkMotions = std::array<LinkMotion, 6>;

/// From the base outward. The base falls upward in place of gravity.
LinkMotions motions_outward(const ByJoint<JointAxis>& axes, const Joints& rates, const Joints& changes,
                            const Vector3d& gravity) {
  LinkMotions motions;
  LinkMotion before;
  before.acceleration = -gravity;
  Vector3d point = axes.front().point;
  for (std::size_t i = 0; i < 6; ++i) {
    const auto joint = static_cast<Eigen::Index>(i);
    const Vector3d turn = axes[i].direction * rates[joint];
    LinkMotion& mine = motions[i];
    mine.acceleration = before.acceleration_at(axes[i].point - point);
    mine.turning = before.turning + turn;
    mine.turning_change = before.turning_change + axes[i].direction * changes[joint] + before.turning.cross(turn);
    point = axes[i].point;
    before = mine;
  }
  return motions;
}

}  // namespace

Joints joint_torques(const Arm& arm, const std::array<RigidMass, 6>& links, const MotionPoint& point,
                     const Vector3d& gravity_in_base) {
  constexpr double newton_metres = 1e-6;  // kg mm^2/s^2
  const ArmFrames frames = arm_frames(arm, point.values);
  const auto axes = joint_axes(arm, frames);
  const LinkMotions motions = motions_outward(axes, arm.dh_from_values * point.speeds,
                                              arm.dh_from_values * point.accelerations, gravity_in_base);
  Joints torques;
  Vector3d force = Vector3d::Zero(), moment = Vector3d::Zero(), about = axes[5].point;
  for (std::size_t i = 6; i-- > 0;) {
    const RigidMass mass = placed_mass(links[i], frames.link_in_base[i + 1]);
    const LinkMotion& motion = motions[i];
    const Vector3d arm_to_com = mass.com - axes[i].point;
    const Vector3d mine = mass.kg * motion.acceleration_at(arm_to_com);
    moment += (about - axes[i].point).cross(force) + arm_to_com.cross(mine) + mass.inertia * motion.turning_change +
              motion.turning.cross(mass.inertia * motion.turning);
    force += mine;
    about = axes[i].point;
    torques[static_cast<Eigen::Index>(i)] = newton_metres * axes[i].direction.dot(moment);
  }
  return arm.dh_from_values.transpose() * torques;
}

}  // namespace cellproof
