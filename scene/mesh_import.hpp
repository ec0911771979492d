// SPDX-License-Identifier: GPL-3.0-or-later
// Meshes from files and primitives.
#pragma once

#include <filesystem>
#include <string>

#include "scene/cell.hpp"
#include "scene/mesh.hpp"

namespace cellproof {

struct ImportedMesh {
  Mesh mesh;
  std::size_t degenerate_dropped = 0;  ///< triangles without area that were left out
};

/// Reads STL (ASCII or binary), OBJ or PLY, scaled by unit_mm; glTF or GLB (metres, +Y up: turned to mm and +Z up); 3MF
/// by its own unit. Equal positions are welded. Error: a sentence: file missing, not readable, no triangles,
/// non-finite, format not read.
tl::expected<ImportedMesh, std::string> import_mesh(const std::filesystem::path& file, double unit_mm);

/// Joins equal positions and drops degenerate triangles. `corners` holds three positions a triangle.
ImportedMesh weld(const std::vector<Vector3d>& corners);

/// Primitives, each centred on its frame, inscribed; the deviation says how far the true surface stands outside.
Mesh box_mesh(const Vector3d& size);
Mesh cylinder_mesh(double radius, double height);
Mesh sphere_mesh(double radius);

}  // namespace cellproof
