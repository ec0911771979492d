// SPDX-License-Identifier: GPL-3.0-or-later
// How much of a closed mesh lies in a convex solid, without cutting the mesh.
#pragma once

#include "scene/cutting/convex_solid.hpp"

namespace cellproof {

/// Volume (mm^3) of the common part, and its centroid (mm; zero where there is none). The mesh is taken as the signed
/// sum of the tetrahedra between its triangles and one point, each clipped by the half spaces; nothing is decided by
/// where surfaces cross, so that it serves to verify a boolean operation.
SolidProperties common_part(const Mesh& mesh, const ConvexSolid& solid);

}  // namespace cellproof
