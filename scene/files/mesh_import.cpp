// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/mesh_import.hpp"

#include <algorithm>
#include <string_view>
#include <system_error>

#include <fmt/format.h>

#include "scene/files/mesh_corners.hpp"
#include "scene/files/mesh_format.hpp"
#include "scene/files/mesh_head.hpp"

namespace cellproof {

namespace {

using Corners = tl::expected<std::vector<Vector3d>, std::string>;

constexpr double farthest_mm = 1e9;

std::string_view ending_of(const std::filesystem::path& file) {
  const MeshFormat* format = mesh_format_of(file);
  return format ? format->extension : std::string_view();
}

/// What is wrong before the file is opened; empty if nothing is.
std::string trouble_with(const std::filesystem::path& file) {
  std::error_code error;
  if (!std::filesystem::exists(file, error)) return fmt::format("the mesh file {} does not exist", file.string());
  if (!std::filesystem::is_regular_file(file, error)) return fmt::format("{} is not a file", file.string());
  if (std::filesystem::file_size(file, error) == 0) return fmt::format("the mesh file {} is empty", file.string());
  if (const std::string reason = trouble_at_head(file, ending_of(file)); !reason.empty())
    return fmt::format("the mesh file {} can't be read as a mesh ({})", file.string(), reason);
  return {};
}

/// glTF is in metres with +Y up; exporters turn a drawing's +Z up there, so it is turned back.
Corners gltf_corners(const std::filesystem::path& file) {
  auto corners = gltf_file_corners(file);
  if (corners)
    for (Vector3d& corner : *corners) corner = 1000 * Vector3d(corner.x(), -corner.z(), corner.y());
  return corners;
}

/// All corners in mm, three a triangle.
Corners read_corners(const std::filesystem::path& file, double unit_mm) {
  const std::string_view ending = ending_of(file);
  if (ending == ".3mf") return threemf_corners(file);
  if (ending == ".gltf" || ending == ".glb") return gltf_corners(file);
  if (ending != ".stl" && ending != ".obj" && ending != ".ply")
    return tl::unexpected(fmt::format(
        "the mesh file {} is none of stl, obj, ply, gltf, glb and 3mf, the formats read here", file.string()));
  auto corners = assimp_corners(file);
  if (corners)
    for (Vector3d& corner : *corners) corner *= unit_mm;
  return corners;
}

}  // namespace

tl::expected<ImportedMesh, std::string> import_mesh(const std::filesystem::path& file, double unit_mm) {
  if (std::string trouble = trouble_with(file); !trouble.empty()) return tl::unexpected(std::move(trouble));
  auto corners = read_corners(file, unit_mm);
  if (!corners) return tl::unexpected(std::move(corners.error()));
  if (!std::all_of(corners->begin(), corners->end(), [](const Vector3d& p) { return p.allFinite(); }))
    return tl::unexpected(fmt::format("the mesh file {} has a coordinate that is not a finite number", file.string()));
  if (!std::all_of(corners->begin(), corners->end(),
                   [](const Vector3d& p) { return p.cwiseAbs().maxCoeff() <= farthest_mm; }))
    return tl::unexpected(fmt::format(
        "the mesh file {} reaches more than 1000 km far; its unit is wrong or it is broken", file.string()));
  ImportedMesh result = weld(*corners);
  if (result.mesh.triangles.empty())
    return tl::unexpected(fmt::format("the mesh file {} has no triangles with an area", file.string()));
  // An OBJ has no mark at its end: a surface with a hole and half a last line tell that it was cut off.
  if (ending_of(file) == ".obj" && ends_within_a_line(file) && !closedness(result.mesh).closed)
    return tl::unexpected(
        fmt::format("the mesh file {} ends within a line and its surface is open: it is cut off", file.string()));
  return result;
}

}  // namespace cellproof
