// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh with holes, made ready to tell what it surrounds: its faces turned alike, its holes capped.
#pragma once

#include <cstdint>
#include <vector>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// A triangle over an open edge, with a corner in the middle of the hole; `times` how often, negative if the other way
/// round. The mesh with its caps winds about any point a whole number of times.
struct HoleCap {
  std::array<Vector3d, 3> corners;
  std::uint32_t shell = 0;
  int times = 0;
};

struct OpenShell {
  double missing_share = 0;  ///< of the surface that would close it: the caps, each hole's area as a vector
  bool turned = false;       ///< its faces were not drawn alike: which of them look outward is not known
};

struct OpenMesh {
  std::vector<std::uint32_t> shell_of;  ///< each triangle's shell
  std::vector<std::int8_t> times;       ///< 1; -1 if it was turned round; 0 if it is there once more already
  std::vector<OpenShell> shells;
  std::vector<HoleCap> caps;
};

/// A shell whose caps are a tenth or more of the surface that would close it: a wall is missing, not a few triangles.
/// The largest of a cube's walls that a triangle can tear away is a twelfth, a wall a sixth.
constexpr double sheet_share = 0.1;
inline bool is_sheet(const OpenShell& shell) {
  return shell.missing_share >= sheet_share;
}

/// Triangles on the same three corners count once. Neighbours across an edge of two are turned alike, as most of their
/// area is drawn; a shell that then encloses less than nothing, and that no other's box holds, is turned as a whole.
OpenMesh open_mesh_of(const Mesh& mesh);

}  // namespace cellproof
