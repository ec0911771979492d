// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/sight/sight.hpp"

#include <algorithm>
#include <stdexcept>

namespace cellproof {

Sight::Sight(std::span<const PlacedRayBody> placed_in_eye, std::vector<int> scene_bodies)
    : scene_bodies_(std::move(scene_bodies)), rays_(placed_in_eye) {}

void Sight::first_hits(std::span<const Ray> rays, std::span<Hit> hits) const {
  rays_.first_hits(rays, hits);
  for (Hit& hit : hits)
    if (hit.body >= 0) hit.body = scene_bodies_[static_cast<std::size_t>(hit.body)];
}

Instant instant(const Scene& scene, const Arrangement& arrangement, const Joints& joints) {
  return {world_poses(scene, arrangement, joints), arrangement.present};
}

Pose pose_in_world(const Scene& scene, const Instant& at, const Placed& placed) {
  const int frame = scene.frame_named(placed.on);
  if (frame < 0) throw std::logic_error("no frame named " + placed.on);
  return at.frame_in_world[static_cast<std::size_t>(frame)] * placed.at;
}

Sight sight_from(const Scene& scene, const Instant& at, const Pose& eye_in_world,
                 const std::function<bool(int body)>& wanted) {
  const Pose world_in_eye = eye_in_world.inverse();
  std::vector<PlacedRayBody> placed;
  std::vector<int> numbers;
  for (std::size_t i = 0; i < scene.bodies.size(); ++i) {
    if (!at.present[i] || !wanted(static_cast<int>(i))) continue;
    const SceneBody& body = scene.bodies[i];
    placed.push_back({body.rays, world_in_eye * at.frame_in_world[static_cast<std::size_t>(body.frame)]});
    numbers.push_back(static_cast<int>(i));
  }
  return Sight(placed, std::move(numbers));
}

namespace {
bool blocks(const Scene& scene, const Camera& camera, int body) {
  return std::ranges::find(camera.housing, scene.bodies[static_cast<std::size_t>(body)].name) == camera.housing.end();
}
}  // namespace

std::vector<PlacedSolid> bodies_before(const Scene& scene, const Instant& at, const Camera& camera) {
  const Pose world_in_camera = pose_in_world(scene, at, camera.placed).inverse();
  std::vector<PlacedSolid> placed;
  for (std::size_t i = 0; i < scene.bodies.size(); ++i) {
    const SceneBody& body = scene.bodies[i];
    if (at.present[i] && blocks(scene, camera, static_cast<int>(i)))
      placed.push_back({static_cast<int>(i), body.solid.get(),
                        world_in_camera * at.frame_in_world[static_cast<std::size_t>(body.frame)]});
  }
  return placed;
}

Sight sight_of_camera(const Scene& scene, const Instant& at, const Camera& camera) {
  return sight_from(scene, at, pose_in_world(scene, at, camera.placed),
                    [&](int body) { return blocks(scene, camera, body); });
}

}  // namespace cellproof
