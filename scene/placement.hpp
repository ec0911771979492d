// SPDX-License-Identifier: GPL-3.0-or-later
// A body, or the arm's base, stands elsewhere; everything else stays as the file says.
#pragma once

#include <string>

#include "scene/scene.hpp"

namespace cellproof {

/// How far from its pose in the file: along the axes of the frame that it stands on, and turned about its own origin,
/// parallel to that frame's z.
struct Placement {
  Vector3d offset = Vector3d::Zero();  ///< mm
  double yaw = 0;                      ///< rad
};

/// Where it stands then, in the frame that it stands on.
Pose placed_by(const Pose& stated, const Placement& placement);

/// The frame of what moves: a body by name, or "base" for the arm.
FrameId frame_of_mover(const Scene& scene, const std::string& mover);

/// The same scene with `mover` placed so, and all that rides on it. Meshes and their trees
/// are shared, not opened again.
Scene with_placement(Scene scene, const std::string& mover, const Placement& placement);

}  // namespace cellproof
