// SPDX-License-Identifier: GPL-3.0-or-later
// Shapes to files, the same bytes every time.
#pragma once

#include <filesystem>
#include <string>

#include "models/solid_shapes.hpp"

namespace cellproof::models {

/// Writes STL (binary) or OBJ by the name's ending, its points on a grid of a micrometre. The file's first words name
/// the cell.
/// Throws std::runtime_error if the shape isn't closed and outward, or the file can't be written.
void write_mesh(const Shape& shape, const std::filesystem::path& file, const std::string& cell);

}  // namespace cellproof::models
