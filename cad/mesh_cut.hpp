// SPDX-License-Identifier: GPL-3.0-or-later
// Closed meshes less closed meshes, exactly. The only door to CGAL.
#pragma once

#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "scene/mesh/mesh.hpp"

namespace cellproof::cad {

struct MeshCut {
  Mesh rest;              ///< empty where nothing is left; its vertices are rounded to doubles at the very end
  double before_mm3 = 0;  ///< of the body
  double after_mm3 = 0;   ///< of `rest`, before rounding
  double common_mm3 = 0;  ///< of the cutters' common parts with what they met, each a mesh of its own
};

/// The body less all cutters, one after the other, with exact numbers throughout. Every cut is held against its common
/// part: before = after + common. Error: a sentence's end that says what is wrong with the body, and where.
tl::expected<MeshCut, std::string> cut_mesh(const Mesh& body, const std::vector<Mesh>& cutters);

}  // namespace cellproof::cad
