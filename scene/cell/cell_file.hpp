// SPDX-License-Identifier: GPL-3.0-or-later
// Reads a cell file (TOML 1.0) into a checked Cell. Meshes are not opened here.
#pragma once

#include <filesystem>
#include <string_view>

#include "scene/basics/input_error.hpp"
#include "scene/cell/cell.hpp"

namespace cellproof {

/// Error: the first thing that is wrong, with file, line, key and mend.
Input<Cell> read_cell_file(const std::filesystem::path& file);

/// The same from text; `file` names it in messages and is what relative paths are relative to.
Input<Cell> read_cell_text(std::string_view text, const std::filesystem::path& file);

}  // namespace cellproof
