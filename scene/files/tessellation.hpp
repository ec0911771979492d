// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh as cellproof-cad hands it over and as the cache keeps it: bytes with a checksum.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// Names what makes a tessellation: another version of it, or of Open CASCADE, is another maker.
std::string_view tessellation_maker();

/// Native byte order: the bytes stay on the machine that made them.
std::string tessellation_bytes(const Mesh& mesh);

/// Nothing if the bytes are cut off, damaged, or another maker's.
std::optional<Mesh> tessellation_of(std::string_view bytes);

}  // namespace cellproof
