// SPDX-License-Identifier: GPL-3.0-or-later
// Meshes from files.
#pragma once

#include <filesystem>
#include <string>

#include <tl/expected.hpp>

#include "scene/mesh/weld.hpp"

namespace cellproof {

/// Reads STL (ASCII or binary), OBJ or PLY, scaled by unit_mm; glTF or GLB (metres, +Y up: turned to mm and +Z up); 3MF
/// by its own unit. Equal positions are welded. Error: a sentence: file missing, not readable, no triangles,
/// non-finite, format not read.
tl::expected<ImportedMesh, std::string> import_mesh(const std::filesystem::path& file, double unit_mm);

}  // namespace cellproof
