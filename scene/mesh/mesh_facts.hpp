// SPDX-License-Identifier: GPL-3.0-or-later
// The figures of a mesh, as a whole and shell by shell.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

struct ShapeFacts {
  std::string name;  ///< of a solid of a STEP file; else empty
  std::size_t triangles = 0, open_edges = 0;
  bool closed = false;
  std::optional<double> volume_mm3;  ///< of a closed one; below 0 where it is turned inside out, or a hollow
  double area_mm2 = 0;
  Box box;
};

struct MeshFacts {
  ShapeFacts whole;
  std::vector<ShapeFacts> solids;  ///< each connected shell; of a STEP file each solid
};

ShapeFacts shape_facts(const Mesh& mesh);
MeshFacts mesh_facts(const Mesh& mesh);

}  // namespace cellproof
