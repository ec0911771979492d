// SPDX-License-Identifier: GPL-3.0-or-later
// Poses of frames: climbing the tree.
#include <algorithm>

#include "scene/scene.hpp"

namespace cellproof {

std::string_view kind_name(BodyKind kind) {
  switch (kind) {
    case BodyKind::arm:
      return "arm";
    case BodyKind::end_effector:
      return "end effector";
    case BodyKind::part:
      return "part";
    case BodyKind::surroundings:
      return "surroundings";
  }
  return "";
}

FrameId Scene::frame_named(std::string_view name) const {
  const auto found = frame_ids.find(std::string(name));
  return found == frame_ids.end() ? FrameId{} : found->second;
}

Pose world_pose(const Scene& scene, const Arrangement& arrangement, const ArmFrames& links, FrameId frame) {
  Pose pose = Pose::Identity();
  for (; frame > world_frame; frame = arrangement.parent[frame]) {
    const std::optional<std::size_t> link = scene.frames[frame].link;
    pose = (link && *link > 0 ? links.link_in_base[*link] : arrangement.in_parent[frame]) * pose;
  }
  return pose;
}

Table<FrameId, Pose> world_poses(const Scene& scene, const Arrangement& arrangement, const Joints& joints) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, joints);
  Table<FrameId, Pose> poses;
  poses.reserve(scene.frames.size());
  for (const FrameId frame : ids_of(scene.frames)) poses.push_back(world_pose(scene, arrangement, links, frame));
  return poses;
}

bool rides_on(const Arrangement& arrangement, FrameId frame, FrameId ancestor) {
  while (frame && frame != ancestor) frame = arrangement.parent[frame];
  return frame == ancestor;
}

}  // namespace cellproof
