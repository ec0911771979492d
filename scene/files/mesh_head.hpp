// SPDX-License-Identifier: GPL-3.0-or-later
// What a mesh file's first bytes say, before it is read.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace cellproof {

/// Why the file can't be what its ending says, for .gltf, .glb and .3mf; empty if it may be. `ending` is in small
/// letters, with its dot.
std::string trouble_at_head(const std::filesystem::path& file, std::string_view ending);

}  // namespace cellproof
