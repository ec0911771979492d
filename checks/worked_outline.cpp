// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/worked_outline.hpp"

#include <algorithm>

#include "scene/solids/surface_distance.hpp"

namespace cellproof {

namespace {

constexpr double differs_mm = 0.01;

/// A body of a part in the part's frame.
struct OwnBody {
  const Solid* solid = nullptr;
  Pose in_part = Pose::Identity();
};

std::vector<OwnBody> bodies_of(const Scene& scene, PartId part) {
  const auto world = world_poses(scene, stated_arrangement(scene), Joints::Zero());
  std::vector<OwnBody> own;
  for (const SceneBody& body : scene.bodies) {
    if (body.owner_part != part || body.copy_of_seat) continue;
    const Pose frame = world[scene.frame_named(scene.cell.parts[part].name)];
    own.push_back({body.solid.get(), frame.inverse() * world[body.frame]});
  }
  return own;
}

bool on_surface(const std::vector<OwnBody>& bodies, const Vector3d& point) {
  return std::ranges::any_of(bodies, [&](const OwnBody& body) {
    return distance_to_surface(*body.solid, body.in_part.inverse() * point, differs_mm, 2 * differs_mm) <= differs_mm;
  });
}

/// True if a corner, the middle of a side or the middle of a triangle is off the other surface.
bool is_new(const std::vector<OwnBody>& before, const std::array<Vector3d, 3>& corner) {
  for (std::size_t i = 0; i < 3; ++i)
    if (!on_surface(before, corner[i]) || !on_surface(before, (corner[i] + corner[(i + 1) % 3]) / 2)) return true;
  return !on_surface(before, (corner[0] + corner[1] + corner[2]) / 3);
}

}  // namespace

std::vector<Vector3d> changed_points(const Scene& scene, PartId part, PartId into) {
  std::vector<Vector3d> changed;
  if (part == into) return changed;
  const std::vector<OwnBody> before = bodies_of(scene, part), after = bodies_of(scene, into);
  for (const OwnBody& body : after)
    for (const Triangle& triangle : body.solid->mesh().triangles) {
      std::array<Vector3d, 3> corner;
      for (std::size_t i = 0; i < 3; ++i) corner[i] = body.in_part * body.solid->mesh().vertices[triangle[i]];
      if (is_new(before, corner)) changed.insert(changed.end(), corner.begin(), corner.end());
    }
  for (const OwnBody& body : before)
    for (const Vector3d& vertex : body.solid->mesh().vertices)
      if (const Vector3d at = body.in_part * vertex; !on_surface(after, at)) changed.push_back(at);
  return changed;
}

}  // namespace cellproof
