// SPDX-License-Identifier: GPL-3.0-or-later
// First hits of rays against placed bodies (Embree: one scene a body, one level of instances).
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// A mesh made ready for rays, about a place near it. Shared by every placement of it. Single precision: 3e-7 of its
/// size and of where it stands, however far off its own origin it is drawn.
class RayBody;
std::shared_ptr<const RayBody> make_ray_body(const Mesh& mesh);

struct PlacedRayBody {
  std::shared_ptr<const RayBody> body;
  Pose in_world = Pose::Identity();
};

struct Ray {
  Vector3d origin, direction;  ///< direction need not be a unit vector; distances are in its lengths
  double near = 0, far = std::numeric_limits<double>::infinity();
};

struct Hit {
  std::optional<std::size_t> body;                         ///< index into the placed bodies, none: nothing is hit
  double along = std::numeric_limits<double>::infinity();  ///< in lengths of the ray's direction
  Vector3d normal = Vector3d::Zero();  ///< of the triangle, in world, not normalised; zero without a hit
};

/// The placed bodies as one thing to shoot at.
class RayScene {
 public:
  /// Throws std::runtime_error if the library's self-test (a known hit) fails: a bug of the installation, never a
  /// verdict.
  explicit RayScene(std::span<const PlacedRayBody> bodies);
  ~RayScene();
  RayScene(RayScene&&) noexcept;
  RayScene& operator=(RayScene&&) noexcept;
  /// Nearest hit of each ray, in packets of 16; `hits` has the rays' size.
  void first_hits(std::span<const Ray> rays, std::span<Hit> hits) const;

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace cellproof
