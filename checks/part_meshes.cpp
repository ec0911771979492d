// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/part_meshes.hpp"

namespace cellproof {

PlacedMesh placed_body(const Scene& scene, const std::vector<Pose>& world, int body, const Pose& in_common) {
  const SceneBody& entry = scene.bodies[static_cast<std::size_t>(body)];
  return {&entry.solid->mesh(), in_common * world[static_cast<std::size_t>(entry.frame)], entry.solid->closed().closed,
          body};
}

std::vector<PlacedMesh> part_meshes(const Scene& scene, const std::vector<Pose>& world, int part,
                                    const Pose& part_in_world, const Pose& in_common) {
  const Pose moved = in_common * part_in_world * part_pose(scene, world, part).inverse();
  std::vector<PlacedMesh> meshes;
  for (std::size_t b = 0; b < scene.bodies.size(); ++b)
    if (scene.bodies[b].owner_part == part && scene.bodies[b].copy_of_seat < 0)
      meshes.push_back(placed_body(scene, world, static_cast<int>(b), moved));
  return meshes;
}

Pose part_pose(const Scene& scene, const std::vector<Pose>& world, int part) {
  return world[static_cast<std::size_t>(scene.frame_named(scene.cell.parts[static_cast<std::size_t>(part)].name))];
}

}  // namespace cellproof
