// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/zone_covers.hpp"

#include <algorithm>

namespace cellproof {

double seal_tolerance_mm(const Rules& rules) {
  return std::max(rules.contact_depth, 0.1);
}

std::vector<ZoneCover> zone_covers(const Scene& scene, const Arrangement& arrangement, const Joints& joints,
                                   const std::vector<std::string>& zones, PartId part, const Pose& part_in_world) {
  const auto world = world_poses(scene, arrangement, joints);
  const auto pose = [&](const std::string& name) { return world[scene.frame_named(name)]; };
  const Pose stated_part_in_world = pose(scene.cell.parts[part].name);
  std::vector<ZoneCover> covers;
  for (const auto& name : zones) {
    const Pose world_in_zone = pose(name).inverse();
    std::vector<MeshInZone> meshes;
    for (const auto& body : scene.bodies)
      if (body.owner_part == part && !body.copy_of_seat)
        meshes.push_back(
            {&body.solid->mesh(), world_in_zone * part_in_world * stated_part_in_world.inverse() * world[body.frame]});
    const SuctionId zone = id_named(scene.cell.suctions, name);
    covers.push_back({zone, seal_cover(scene.cell.suctions[zone], meshes, seal_tolerance_mm(scene.cell.rules))});
  }
  return covers;
}

}  // namespace cellproof
