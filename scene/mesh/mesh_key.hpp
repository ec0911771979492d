// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh's key by content: equal meshes have equal keys.
#pragma once

#include "scene/basics/content_key.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

ContentKey content_of(const Mesh& mesh);

}  // namespace cellproof
