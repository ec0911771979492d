// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/mesh_corners.hpp"

#include <algorithm>
#include <fstream>

#include <fmt/format.h>

#include "scene/files/polygon_cut.hpp"

namespace cellproof {

tl::expected<std::string, std::string> mesh_file_bytes(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary | std::ios::ate);
  std::string bytes;
  if (in) bytes.resize(static_cast<std::size_t>(std::max<std::streamoff>(in.tellg(), 0)));
  in.seekg(0);
  in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  if (!in) return tl::unexpected(fmt::format("the mesh file {} can't be read", file.string()));
  return bytes;
}

void append_polygon(const std::vector<Vector3d>& polygon, FileTriangles& triangles) {
  if (polygon.size() == 3) {
    triangles.corners.insert(triangles.corners.end(), polygon.begin(), polygon.end());
    return;
  }
  const PolygonCut cut = cut_polygon(polygon);
  for (const auto& triangle : cut.triangles)
    for (const std::size_t corner : triangle) triangles.corners.push_back(polygon[corner]);
  triangles.fold = std::max(triangles.fold, cut.fold);
}

}  // namespace cellproof
