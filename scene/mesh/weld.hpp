// SPDX-License-Identifier: GPL-3.0-or-later
// From loose triangles to a mesh whose triangles share their corners.
#pragma once

#include <cstddef>
#include <vector>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

struct ImportedMesh {
  Mesh mesh;
  std::size_t degenerate_dropped = 0;  ///< triangles without area that were left out
};

/// Joins equal positions and drops degenerate triangles. `corners` holds three positions a triangle.
ImportedMesh weld(const std::vector<Vector3d>& corners);

}  // namespace cellproof
