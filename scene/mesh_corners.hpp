// SPDX-License-Identifier: GPL-3.0-or-later
// The corners of a mesh file's triangles, three a triangle, by the library that reads the format.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "kinematics/types.hpp"

namespace cellproof {

/// STL, OBJ, PLY, glTF and GLB by Assimp, in the file's own numbers and axes, instances placed. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> assimp_corners(const std::filesystem::path& file);

/// 3MF by lib3mf, in mm by the file's own unit, build items and components placed. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> threemf_corners(const std::filesystem::path& file);

}  // namespace cellproof
