// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/with_mesh.hpp"

namespace cellproof {

Scene with_mesh(Scene scene, BodyId body, Mesh mesh) {
  SceneBody& changed = scene.bodies[body];
  changed.rays = make_ray_body(mesh);
  changed.solid = std::make_shared<const Solid>(std::move(mesh));
  changed.degenerate_dropped = 0;
  return scene;
}

}  // namespace cellproof
