// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/sight.hpp"

#include <algorithm>
#include <stdexcept>

namespace cellproof {

Sight::Sight(std::span<const PlacedRayBody> placed_in_eye, ById<PlacedRayBody, BodyId> bodies)
    : bodies_(std::move(bodies)), rays_(placed_in_eye) {}

Instant instant(const Scene& scene, const Arrangement& arrangement, const Joints& joints) {
  return {world_poses(scene, arrangement, joints), arrangement.present};
}

Pose pose_in_world(const Scene& scene, const Instant& at, const Placed& placed) {
  const FrameId frame = scene.frame_named(placed.on);
  if (!frame) throw std::logic_error("no frame named " + placed.on);
  return at.frame_in_world[frame] * placed.at;
}

Sight sight_from(const Scene& scene, const Instant& at, const Pose& eye_in_world,
                 const std::function<bool(BodyId body)>& wanted) {
  const Pose world_in_eye = eye_in_world.inverse();
  std::vector<PlacedRayBody> placed;
  ById<PlacedRayBody, BodyId> bodies;
  for (const BodyId id : ids_of(scene.bodies)) {
    if (!at.present[id] || !wanted(id)) continue;
    const SceneBody& body = scene[id];
    placed.push_back({body.rays, world_in_eye * at.frame_in_world[body.frame]});
    bodies.push_back(id);
  }
  return Sight(placed, std::move(bodies));
}

Sight sight_of_camera(const Scene& scene, const Instant& at, const Camera& camera) {
  const auto no_housing = [&](BodyId body) {
    return std::ranges::find(camera.housing, scene[body].name) == camera.housing.end();
  };
  return sight_from(scene, at, pose_in_world(scene, at, camera.placed), no_housing);
}

}  // namespace cellproof
