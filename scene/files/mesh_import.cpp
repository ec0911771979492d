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
constexpr double plane_mm = 1e-7;  // a polygon's corners this near to a plane lie in it: rounding in the file

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

/// In mm already.
ReadTriangles unfolded(Corners corners) {
  if (!corners) return tl::unexpected(std::move(corners.error()));
  return FileTriangles{std::move(*corners), 0};
}

ReadTriangles scaled(ReadTriangles read, double unit_mm) {
  if (!read) return read;
  for (Vector3d& corner : read->corners) corner *= unit_mm;
  read->fold *= unit_mm;
  return read;
}

/// All in mm.
ReadTriangles read_triangles(const std::filesystem::path& file, double unit_mm) {
  const std::string_view ending = ending_of(file);
  if (ending == ".3mf") return unfolded(threemf_corners(file));
  if (ending == ".gltf" || ending == ".glb") return unfolded(gltf_corners(file));
  if (ending == ".stl") return scaled(stl_triangles(file), unit_mm);
  if (ending == ".obj") return scaled(obj_triangles(file), unit_mm);
  if (ending == ".ply") return scaled(ply_triangles(file), unit_mm);
  return tl::unexpected(fmt::format(
      "the mesh file {} is none of stl, obj, ply, gltf, glb and 3mf, the formats read here", file.string()));
}

}  // namespace

tl::expected<ImportedMesh, std::string> import_mesh(const std::filesystem::path& file, double unit_mm) {
  if (std::string trouble = trouble_with(file); !trouble.empty()) return tl::unexpected(std::move(trouble));
  auto read = read_triangles(file, unit_mm);
  if (!read) return tl::unexpected(std::move(read.error()));
  const std::vector<Vector3d>& corners = read->corners;
  if (!std::all_of(corners.begin(), corners.end(), [](const Vector3d& p) { return p.allFinite(); }))
    return tl::unexpected(fmt::format("the mesh file {} has a coordinate that is not a finite number", file.string()));
  if (!std::all_of(corners.begin(), corners.end(),
                   [](const Vector3d& p) { return p.cwiseAbs().maxCoeff() <= farthest_mm; }))
    return tl::unexpected(fmt::format(
        "the mesh file {} reaches more than 1000 km far; its unit is wrong or it is broken", file.string()));
  ImportedMesh result = weld(corners);
  if (result.mesh.triangles.empty())
    return tl::unexpected(fmt::format("the mesh file {} has no triangles with an area", file.string()));
  if (read->fold > plane_mm) result.mesh.deviation = {read->fold, read->fold};
  if (read->ends_within_a_line && !closedness(result.mesh).closed)
    return tl::unexpected(
        fmt::format("the mesh file {} ends within a line and its surface is open: it is cut off", file.string()));
  return result;
}

}  // namespace cellproof
