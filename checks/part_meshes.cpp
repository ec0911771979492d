// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/part_meshes.hpp"

namespace cellproof {

PlacedMesh placed_body(const Scene& scene, const Table<FrameId, Pose>& world, BodyId body, const Pose& in_common) {
  const SceneBody& entry = scene.bodies[body];
  return {&entry.solid->mesh(), in_common * world[entry.frame], entry.solid->closed().closed, body};
}

std::vector<PlacedMesh> part_meshes(const Scene& scene, const Table<FrameId, Pose>& world, PartId part,
                                    const Pose& part_in_world, const Pose& in_common) {
  const Pose moved = in_common * part_in_world * part_pose(scene, world, part).inverse();
  std::vector<PlacedMesh> meshes;
  for (const BodyId b : ids_of(scene.bodies))
    if (scene.bodies[b].owner_part == part && !scene.bodies[b].copy_of_seat)
      meshes.push_back(placed_body(scene, world, b, moved));
  return meshes;
}

Pose part_pose(const Scene& scene, const Table<FrameId, Pose>& world, PartId part) {
  return world[scene.frame_of(part)];
}

}  // namespace cellproof
