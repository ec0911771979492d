// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/sight.hpp"

#include <algorithm>

namespace cellproof {

Sight::Sight(std::span<const PlacedRayBody> placed_in_eye, std::vector<BodyId> scene_bodies)
    : scene_bodies_(std::move(scene_bodies)), rays_(placed_in_eye) {}

Sight sight_from(const Scene& scene, const Instant& at, const Pose& eye_in_world,
                 const std::function<bool(BodyId body)>& wanted) {
  const Pose world_in_eye = eye_in_world.inverse();
  std::vector<PlacedRayBody> placed;
  std::vector<BodyId> bodies;
  for (const BodyId id : ids_of(scene.bodies)) {
    if (!at.present[id] || !wanted(id)) continue;
    const SceneBody& body = scene.bodies[id];
    placed.push_back({body.rays, world_in_eye * at.pose_of(body)});
    bodies.push_back(id);
  }
  return Sight(placed, std::move(bodies));
}

namespace {
bool blocks(const Scene& scene, const Camera& camera, BodyId body) {
  return std::ranges::find(camera.housing, scene.bodies[body].name) == camera.housing.end();
}
}  // namespace

std::vector<PlacedSolid> bodies_before(const Scene& scene, const Instant& at, const Camera& camera) {
  const Pose world_in_camera = pose_in_world(scene, at, camera.placed).inverse();
  std::vector<PlacedSolid> placed;
  for (const BodyId id : ids_of(scene.bodies)) {
    const SceneBody& body = scene.bodies[id];
    if (at.present[id] && blocks(scene, camera, id))
      placed.push_back({id, body.solid.get(), world_in_camera * at.pose_of(body)});
  }
  return placed;
}

Sight sight_of_camera(const Scene& scene, const Instant& at, const Camera& camera) {
  return sight_from(scene, at, pose_in_world(scene, at, camera.placed),
                    [&](BodyId body) { return blocks(scene, camera, body); });
}

}  // namespace cellproof
