// SPDX-License-Identifier: GPL-3.0-or-later
// The corners of a mesh file's triangles, three a triangle, a reader a format. What a file says in decimals is read in
// doubles, to the last bit.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "kinematics/types.hpp"

namespace cellproof {

/// Few lines can place a mesh again and again: files that stand for more than this many triangles are refused.
constexpr std::size_t most_triangles = 4'000'000;

/// Triangles of a file, in its own numbers.
struct FileTriangles {
  std::vector<Vector3d> corners;  ///< three a triangle
  /// Where polygons were cut into triangles: how far the file's surface may lie from them, as its polygons are not
  /// plane.
  double fold = 0;
  bool ends_within_a_line = false;  ///< a text that may have been cut off, with no mark at its end that would tell
};

using ReadTriangles = tl::expected<FileTriangles, std::string>;

/// Cuts a polygon of three corners or more into triangles and appends them.
void append_polygon(const std::vector<Vector3d>& polygon, FileTriangles& triangles);

/// The file's bytes. Error: a sentence.
tl::expected<std::string, std::string> mesh_file_bytes(const std::filesystem::path& file);

/// Text by ourselves, binary by Assimp, whose floats are the file's own. Error: a sentence.
ReadTriangles stl_triangles(const std::filesystem::path& file);

/// Polygons of any shape, all groups and objects in one. Error: a sentence with the line.
ReadTriangles obj_triangles(const std::filesystem::path& file);

/// Text or binary of either byte order, faces and strips. Error: a sentence.
ReadTriangles ply_triangles(const std::filesystem::path& file);

/// Binary STL, in the file's own numbers. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> assimp_corners(const std::filesystem::path& file);

/// glTF 2.0 and GLB, in metres with +Y up as the format has it, the nodes of its scene placed. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> gltf_file_corners(const std::filesystem::path& file);

/// 3MF, in mm by the file's own unit, build items and components placed. Error: a sentence.
tl::expected<std::vector<Vector3d>, std::string> threemf_corners(const std::filesystem::path& file);

}  // namespace cellproof
