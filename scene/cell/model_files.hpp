// SPDX-License-Identifier: GPL-3.0-or-later
// Which files a cell's models come from.
#pragma once

#include <filesystem>
#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// All that is read for a model: its file, and for glTF the files beside it that hold its buffers.
std::vector<std::filesystem::path> files_of_model(const std::filesystem::path& model);

/// All that is read for its bodies, then for its parts, in their order, as reached from where the cell file is reached;
/// a file that serves twice stands twice.
std::vector<std::filesystem::path> model_files(const Cell& cell);

}  // namespace cellproof
