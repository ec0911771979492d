// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/leg_goal.hpp"

namespace cellproof {

namespace {

Pose tcp_in_flange_of(const Scene& scene, const Leg& leg, const ArmFrames& links) {
  if (!leg.target->tcp) return Pose::Identity();
  const FrameId frame = scene.frame_of(leg.target->tcp);
  return world_pose(scene, *leg.arrangement, links, scene.flange_frame).inverse() *
         world_pose(scene, *leg.arrangement, links, frame);
}

}  // namespace

LegGoal goal_of(const Scene& scene, const Leg& leg, const Joints& joints) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, joints);
  LegGoal goal;
  goal.tcp_in_flange = tcp_in_flange_of(scene, leg, links);
  if (const auto* values = std::get_if<Joints>(&leg.target->to)) {
    goal.tcp_in_base = cellproof::flange_in_base(scene.cell.arm.arm, *values) * goal.tcp_in_flange;
    return goal;
  }
  const auto& target = std::get<FrameTarget>(leg.target->to);
  const Pose base_in_world = world_pose(scene, *leg.arrangement, links, scene.base_frame);
  goal.tcp_in_base = base_in_world.inverse() * world_pose(scene, *leg.arrangement, links, target.frame) * target.at;
  return goal;
}

}  // namespace cellproof
