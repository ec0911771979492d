// SPDX-License-Identifier: GPL-3.0-or-later
// Keeps tessellations between runs. A damaged entry is no entry; where nothing can be kept, nothing is.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// `key` is a content_hash of all that the mesh depends on.
std::optional<Mesh> cached_tessellation(const std::string& key);

/// Written beside and put in place whole, so that two runs at once do no harm.
void keep_tessellation(const std::string& key, std::string_view bytes);

}  // namespace cellproof
