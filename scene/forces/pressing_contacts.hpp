// SPDX-License-Identifier: GPL-3.0-or-later
// Where two meshes can press on one another, as points with normals.
#pragma once

#include <vector>

#include "scene/forces/facing_faces.hpp"

namespace cellproof {

struct PressingPoint {
  Vector3d at = Vector3d::Zero();
  Vector3d normal = Vector3d::UnitZ();  ///< unit, into the first mesh: the way it is pressed
};

struct PressingContacts {
  std::vector<PressingPoint> points;
  double area_mm2 = 0;       ///< of faces on faces
  double resolution_mm = 0;  ///< where a round surface rests on facets: how wide they are
};

/// Where the first mesh can rest on the second, both in one frame, mm:
/// - faces on faces: two triangles whose normals are opposite within 12 degrees, none of their neighbours' more so (1
///   degree is as good as none), and that lie within `depth_mm` of one another all over where they overlap, air or cut:
///   the corners of what they have in common;
/// - corners on faces: a vertex whose neighbours all lie further off than it, over a triangle and as near;
/// - edges on faces: where the faces beside it go off, level within 1 degree or with such a corner at its nearer end,
/// the
///   ends of what lies over the triangle.
/// Edges that cross edges are left out: what is found can only hold less than the meshes do. Points that say the same
/// are told once: of each normal and height the corners of their hull.
PressingContacts pressing_contacts(const PlacedMesh& first, const PlacedMesh& second, double depth_mm);

}  // namespace cellproof
