// SPDX-License-Identifier: GPL-3.0-or-later
// The cell as an eye meets it: its bodies at an instant, ready for rays, in the eye's own frame.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <vector>

#include "scene/instant.hpp"
#include "scene/sight/shadows.hpp"

namespace cellproof {

/// A hit this much nearer than the target's point blocks it (mm).
inline constexpr double block_tolerance = 0.05;

/// Bodies placed in the frame of an eye at its origin: there single-precision rays are most exact. Hits number the
/// placed bodies, `body_of` tells which of the scene's that is. Their normals are in the eye's frame.
class Sight {
 public:
  Sight(std::span<const PlacedRayBody> placed_in_eye, std::vector<BodyId> scene_bodies);
  void first_hits(std::span<const Ray> rays, std::span<Hit> hits) const { rays_.first_hits(rays, hits); }
  /// None where nothing is hit.
  BodyId body_of(const Hit& hit) const { return hit.body ? scene_bodies_[*hit.body] : BodyId{}; }

 private:
  std::vector<BodyId> scene_bodies_;
  RayScene rays_;
};

/// All bodies that are there and that `wanted` takes, as seen from `eye_in_world`.
Sight sight_from(const Scene& scene, const Instant& at, const Pose& eye_in_world,
                 const std::function<bool(BodyId body)>& wanted);

/// The bodies that are there and may block the camera: not those of its housing. In the camera's frame.
std::vector<PlacedSolid> bodies_before(const Scene& scene, const Instant& at, const Camera& camera);

/// The same for rays.
Sight sight_of_camera(const Scene& scene, const Instant& at, const Camera& camera);

}  // namespace cellproof
