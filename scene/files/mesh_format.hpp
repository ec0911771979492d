// SPDX-License-Identifier: GPL-3.0-or-later
// The kinds of model files, told by their endings.
#pragma once

#include <filesystem>
#include <string_view>

namespace cellproof {

struct MeshFormat {
  std::string_view extension;  ///< in small letters, with its dot
  bool carries_unit;
  bool holds_solids;  ///< exact surfaces in place of triangles
};

/// Null for any other ending; capital letters count as small ones.
const MeshFormat* mesh_format_of(const std::filesystem::path& file);

/// By the ending: .step or .stp.
bool holds_solids(const std::filesystem::path& file);

}  // namespace cellproof
