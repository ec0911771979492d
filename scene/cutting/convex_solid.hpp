// SPDX-License-Identifier: GPL-3.0-or-later
// Solids bounded by plane faces without a dent.
#pragma once

#include <optional>
#include <vector>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

struct ConvexSolid {
  std::vector<Vector3d> points;                   ///< each a corner of a face
  std::vector<std::vector<std::uint32_t>> faces;  ///< loops of points, counter-clockwise from outside
};

/// The least convex solid around points. Points within 1e-9 of its size of a face lie in that face. Nothing if all
/// points lie in one plane. Point by point (M. Kallay, Inf. Proc. Letters 19(4):197, 1984).
std::optional<ConvexSolid> convex_hull(const std::vector<Vector3d>& points);

ConvexSolid placed(const ConvexSolid& solid, const Pose& its_frame_in_other);

/// Each face as a fan of triangles.
Mesh mesh_of(const ConvexSolid& solid);
/// One closed shell a solid.
Mesh mesh_of(const std::vector<ConvexSolid>& solids);

/// `normal` (unit) points out; the plane is where normal · x = offset.
struct HalfSpace {
  Vector3d normal;
  double offset = 0;
};
/// One a face: the solid is what lies in all of them.
std::vector<HalfSpace> half_spaces(const ConvexSolid& solid);

}  // namespace cellproof
