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
  const auto found = frame_numbers.find(std::string(name));
  return found == frame_numbers.end() ? FrameId{} : found->second;
}

Pose world_pose(const Scene& scene, const Arrangement& arrangement, const ArmFrames& links, FrameId frame) {
  Pose pose = Pose::Identity();
  for (; frame > world_frame; frame = arrangement.parent[frame]) {
    const LinkId link = scene[frame].link;
    pose = (link > base_link ? links.link_in_base[link.index()] : arrangement.in_parent[frame]) * pose;
  }
  return pose;
}

FramePoses world_poses(const Scene& scene, const Arrangement& arrangement, const Joints& joints) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, joints);
  FramePoses poses;
  poses.reserve(scene.frames.size());
  for (const FrameId frame : ids_of(scene.frames)) poses.push_back(world_pose(scene, arrangement, links, frame));
  return poses;
}

bool rides_on(const Arrangement& arrangement, FrameId frame, FrameId ancestor) {
  while (frame && frame != ancestor) frame = arrangement.parent[frame];
  return frame == ancestor;
}

}  // namespace cellproof
