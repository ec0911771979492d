// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/instant.hpp"

#include <stdexcept>

namespace cellproof {

Instant instant(const Scene& scene, const Arrangement& arrangement, const Joints& joints) {
  return {world_poses(scene, arrangement, joints), arrangement.present};
}

Pose pose_in_world(const Scene& scene, const Instant& at, const Placed& placed) {
  const FrameId frame = scene.frame_named(placed.on);
  if (!frame) throw std::logic_error("no frame named " + placed.on);
  return at.frame_in_world[frame] * placed.at;
}

}  // namespace cellproof
