// SPDX-License-Identifier: GPL-3.0-or-later
// What a mesh is made of: its connected shells, and its holes.
#pragma once

#include <array>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// One mesh a shell, in the order of `shells`, with the vertices that it uses.
std::vector<Mesh> separate_shells(const Mesh& mesh);

using Edge = std::array<std::uint32_t, 2>;

/// Edges without exactly two oppositely directed triangles, each once, as `closedness` counts them.
std::vector<Edge> open_edges(const Mesh& mesh);

/// Open edges that hang together: the rim of a hole, the seam of a sheet.
struct Hole {
  std::size_t edges = 0;
  double length_mm = 0;  ///< of all its edges
  Box box;
};

/// The longest first.
std::vector<Hole> holes(const Mesh& mesh);

/// True for each closed shell that is turned inside out: its volume is negative, and it is no hollow in another one.
/// `pieces` as `separate_shells` gives them.
std::vector<char> turned_inside_out(const std::vector<Mesh>& pieces);

}  // namespace cellproof
