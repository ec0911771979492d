// SPDX-License-Identifier: GPL-3.0-or-later
// The cell at an instant: where every frame is, and which bodies are there.
#pragma once

#include "scene/scene.hpp"

namespace cellproof {

struct Instant {
  Table<FrameId, Pose> frame_in_world;
  Table<BodyId, char> present;

  const Pose& pose_of(const SceneBody& body) const { return frame_in_world[body.frame]; }
};

/// `joints` in rad.
Instant instant(const Scene& scene, const Arrangement& arrangement, const Joints& joints);

/// Pose in world of what rides on a named frame. Throws std::logic_error if there is no such frame.
Pose pose_in_world(const Scene& scene, const Instant& at, const Placed& placed);

}  // namespace cellproof
