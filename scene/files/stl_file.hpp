// SPDX-License-Identifier: GPL-3.0-or-later
// Meshes to STL.
#pragma once

#include <optional>
#include <string>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// The mesh in single precision, as STL holds it: vertices that fall together are one, and triangles that lose their
/// area are left out with their neighbours stitched, so that what was closed stays closed. `unit_mm` is the unit that
/// the numbers are rounded in. Nothing if it can't be kept closed.
std::optional<Mesh> in_single_precision(const Mesh& mesh, double unit_mm);

/// Binary STL in the given unit.
std::string stl_of(const Mesh& mesh, double unit_mm);

}  // namespace cellproof
