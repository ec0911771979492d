// SPDX-License-Identifier: GPL-3.0-or-later
// Whether a part's surface wholly covers a suction zone, found from the meshes.
#pragma once

#include <span>

#include "scene/cell/cell.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// A mesh of the part, placed in the zone's frame (seal plane xy, +z into the part).
struct MeshInZone {
  const Mesh* mesh = nullptr;
  Pose in_zone = Pose::Identity();
};

/// All in the zone's frame, mm.
struct SealCover {
  double seal_mm = 0;                     ///< length of the zone's border, holes' borders counted
  double bare_mm = 0;                     ///< how much of it has no surface within the tolerance of the seal plane
  double widest_mm = 0;                   ///< the longest bare stretch
  Vector2d widest_at = Vector2d::Zero();  ///< its middle
  bool open_through = false;              ///< somewhere within the border the part has no surface at all
  Vector2d open_at = Vector2d::Zero();
  double recess_mm = 0;  ///< the deepest place within the border that an edge of the surface leads to
  Vector2d recess_at = Vector2d::Zero();
  bool leaks() const { return bare_mm > 0 || open_through; }
};

/// Exact on the mesh: along every straight piece of the border (a circle has 180) the shares that lie under triangles
/// facing the zone, within `tolerance_mm` of the seal plane, are put together; openings within it are looked for beside
/// every edge where the facing surface ends. Gaps under 0.001 mm are seams.
SealCover seal_cover(const Suction& zone, std::span<const MeshInZone> part, double tolerance_mm);

}  // namespace cellproof
