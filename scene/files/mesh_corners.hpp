// SPDX-License-Identifier: GPL-3.0-or-later
// The corners of a mesh file's triangles, three a triangle, a reader a format.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "kinematics/types.hpp"

namespace cellproof {

/// Few lines can place a mesh again and again: files that stand for more than this many triangles are refused.
constexpr std::size_t most_triangles = 4'000'000;

/// STL, OBJ and PLY by Assimp, in the file's own numbers. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> assimp_corners(const std::filesystem::path& file);

/// glTF 2.0 and GLB, in metres with +Y up as the format has it, the nodes of its scene placed. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> gltf_file_corners(const std::filesystem::path& file);

/// 3MF, in mm by the file's own unit, build items and components placed. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> threemf_corners(const std::filesystem::path& file);

}  // namespace cellproof
