// SPDX-License-Identifier: GPL-3.0-or-later
// Vertices that only one fan of triangles meets in.
#pragma once

#include "scene/mesh/mesh.hpp"

namespace cellproof::cad {

/// The mesh with a vertex for each fan of triangles about it that hang together by edges: two cones that meet in their
/// tips share no vertex any more.
struct Umbrellas {
  std::vector<std::uint32_t> vertex_of;  ///< the mesh's vertex of each new one
  std::vector<Triangle> triangles;       ///< in the mesh's order
};
Umbrellas umbrellas_of(const Mesh& mesh);

}  // namespace cellproof::cad
