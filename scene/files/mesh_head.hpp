// SPDX-License-Identifier: GPL-3.0-or-later
// What a mesh file's first and last bytes say, before a library reads it.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace cellproof {

/// Why the file can't be what its ending says, for .ply, .gltf, .glb and .3mf; empty if it may be. `ending` is in small
/// letters, with its dot. Assimp looks for any format in a file it can't read by its ending, and so would read
/// another format's numbers in the wrong unit.
std::string trouble_at_head(const std::filesystem::path& file, std::string_view ending);

/// Its last line has no line end, as in a text that was cut off.
bool ends_within_a_line(const std::filesystem::path& file);

}  // namespace cellproof
