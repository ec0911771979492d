// SPDX-License-Identifier: GPL-3.0-or-later
// Bodies of the scene as placed meshes, numbered as in scene.bodies.
#pragma once

#include <span>
#include <vector>

#include "scene/forces/facing_faces.hpp"
#include "scene/scene.hpp"

namespace cellproof {

/// A body where its frame is. `in_common`: world seen from the frame that all are wanted in.
PlacedMesh placed_body(const Scene& scene, const Table<FrameId, Pose>& world, BodyId body,
                       const Pose& in_common = Pose::Identity());

/// The part with the bodies on it, its frame put at `part_in_world`.
std::vector<PlacedMesh> part_meshes(const Scene& scene, const Table<FrameId, Pose>& world, PartId part,
                                    const Pose& part_in_world, const Pose& in_common = Pose::Identity());

/// The pose of a part's frame.
Pose part_pose(const Scene& scene, const Table<FrameId, Pose>& world, PartId part);

}  // namespace cellproof
