// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/plan_outline.hpp"

#include "scene/mesh/convex_outline.hpp"

namespace cellproof {

std::vector<Vector2d> plan_outline(const SceneBody& body, const Pose& body_in_world, const Pose& view_in_world) {
  const Pose body_in_view = view_in_world.inverse() * body_in_world;
  std::vector<Vector2d> points;
  for (const Vector3d& vertex : body.solid->mesh().vertices) points.push_back((body_in_view * vertex).head<2>());
  return convex_outline(std::move(points));
}

}  // namespace cellproof
