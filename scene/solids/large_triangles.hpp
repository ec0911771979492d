// SPDX-License-Identifier: GPL-3.0-or-later
// Cuts large triangles for a search tree: the wall about a door is two long triangles whose boxes fill the opening.
#pragma once

#include <optional>
#include <vector>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// The pieces lie on the mesh's triangles and cover them (cut at the middles of their longest edges, to rounding).
struct CutMesh {
  Mesh pieces;
  std::vector<std::uint32_t> triangle_of_piece;
};

/// Pieces with no edge longer than a share of the mesh's size, or as near to it as a few thousand cuts get.
/// None if no triangle is large.
std::optional<CutMesh> cut_large_triangles(const Mesh& mesh);

}  // namespace cellproof
