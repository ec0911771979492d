// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/target_poses.hpp"

#include <algorithm>
#include <array>

#include "kinematics/inverse/configuration_name.hpp"

namespace cellproof {

namespace {

/// The tool that a step names for its move; empty if it names none.
struct NamedTool {
  std::string operator()(const MoveStep& step) const { return of_target(step.to); }
  std::string operator()(const PickStep& step) const { return step.tcp; }
  std::string operator()(const PlaceStep& step) const { return step.tcp; }
  std::string operator()(const LookStep& step) const { return step.to ? of_target(*step.to) : ""; }
  template <class Other>
  std::string operator()(const Other&) const {
    return "";
  }
  static std::string of_target(const MoveTarget& target) {
    return std::visit([](const auto& to) { return to.tcp; }, target);
  }
};

TcpId tool_of(const Cell& cell, const Stretch& stretch) {
  const Action& action = cell.cycle->steps[stretch.step_index].action;
  const std::string name = std::visit(NamedTool{}, action);
  if (const TcpId named = id_named(cell.tcps, name)) return named;
  // A place that names no tool is led by the one that holds the part, which lets go before the last line.
  if (std::holds_alternative<PlaceStep>(action)) return stretch.contact ? stretch.contact->tcp : stretch.holding_tcp;
  return {};
}

bool is_deed(StretchKind kind) {
  constexpr std::array deeds{StretchKind::grip, StretchKind::release, StretchKind::hold, StretchKind::unhold,
                             StretchKind::look};
  return std::ranges::find(deeds, kind) != deeds.end();
}

TargetPose target_pose(const Scene& scene, const Arrangement& arrangement, const Joints& joints, TcpId tcp) {
  const Table<FrameId, Pose> world = world_poses(scene, arrangement, joints);
  const auto in_world = [&](FrameId frame) { return world[frame]; };
  const std::string name = !tcp ? "flange" : scene.cell.tcps[tcp].name;
  TargetPose pose;
  pose.joints = joints;
  pose.tcp = tcp;
  pose.tool_in_base = in_world(scene.base_frame).inverse() * in_world(scene.frame_named(name));
  pose.configuration = configuration_name(scene.cell.arm.arm, joints);
  return pose;
}

}  // namespace

std::vector<TargetPose> target_poses(const Scene& scene, const CycleRun& run) {
  std::vector<TargetPose> poses;
  if (run.stretches.empty()) return poses;
  poses.push_back(target_pose(scene, *run.stretches.front().arrangement, scene.cell.cycle->start, {}));
  poses.back().step = "start";
  for (const Stretch& stretch : run.stretches) {
    if (is_deed(stretch.kind) && stretch.step == poses.back().step) poses.back().then.push_back(stretch.kind);
    if (stretch.kind != StretchKind::joint && stretch.kind != StretchKind::linear) continue;
    const Joints end = joints_at(stretch, stretch.end_s);
    if (end == joints_at(stretch, stretch.start_s)) continue;
    poses.push_back(target_pose(scene, *stretch.arrangement, end, tool_of(scene.cell, stretch)));
    poses.back().step = stretch.step;
    poses.back().kind = stretch.kind;
  }
  return poses;
}

}  // namespace cellproof
