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

int Scene::frame_named(std::string_view name) const {
  const auto found = frame_numbers.find(std::string(name));
  return found == frame_numbers.end() ? -1 : found->second;
}

Pose world_pose(const Scene& scene, const Arrangement& arrangement, const ArmFrames& links, int frame) {
  Pose pose = Pose::Identity();
  while (frame > 0) {
    const auto here = static_cast<std::size_t>(frame);
    const int link = scene.frames[here].link;
    pose = (link > 0 ? links.link_in_base[static_cast<std::size_t>(link)] : arrangement.in_parent[here]) * pose;
    frame = arrangement.parent[here];
  }
  return pose;
}

std::vector<Pose> world_poses(const Scene& scene, const Arrangement& arrangement, const Joints& joints) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, joints);
  std::vector<Pose> poses;
  poses.reserve(scene.frames.size());
  for (std::size_t i = 0; i < scene.frames.size(); ++i)
    poses.push_back(world_pose(scene, arrangement, links, static_cast<int>(i)));
  return poses;
}

bool rides_on(const Arrangement& arrangement, int frame, int ancestor) {
  while (frame >= 0 && frame != ancestor) frame = arrangement.parent[static_cast<std::size_t>(frame)];
  return frame == ancestor;
}

}  // namespace cellproof
