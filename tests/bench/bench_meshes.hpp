// SPDX-License-Identifier: GPL-3.0-or-later
// Meshes of any size, as models have them and as files.
#pragma once

#include <filesystem>
#include <fstream>

#include "scene/mesh/weld.hpp"

namespace cellproof {

/// A bumpy ball of 12 n² triangles, a cube's faces blown up; nothing about it is regular.
inline Mesh bumpy_ball(double radius, int n) {
  std::vector<Vector3d> corners;
  const auto at = [&](int axis, int side, int i, int j) {
    Vector3d p;
    p[axis] = side;
    p[(axis + 1) % 3] = side * (2.0 * i / n - 1);
    p[(axis + 2) % 3] = 2.0 * j / n - 1;
    const Vector3d u = p.normalized();
    return Vector3d(radius * (1 + 0.1 * std::sin(9 * u.x()) * std::cos(7 * u.y() + 2 * u.z())) * u);
  };
  for (int axis = 0; axis < 3; ++axis)
    for (const int side : {-1, 1})
      for (int i = 0; i < n; ++i)
        for (int j = 0; j < n; ++j)
          for (const auto& [di, dj] : {std::pair{0, 0}, {1, 0}, {1, 1}, {0, 0}, {1, 1}, {0, 1}})
            corners.push_back(at(axis, side, i + di, j + dj));
  return weld(corners).mesh;
}

inline void write_stl(const std::filesystem::path& file, const Mesh& mesh) {
  std::ofstream out(file, std::ios::binary);
  out << std::string(80, ' ');
  const auto put = [&](const auto value) { out.write(reinterpret_cast<const char*>(&value), sizeof value); };
  put(static_cast<std::uint32_t>(mesh.triangles.size()));
  for (const Triangle& triangle : mesh.triangles) {
    for (int i = 0; i < 3; ++i) put(0.0F);
    for (const std::uint32_t v : triangle)
      for (int axis = 0; axis < 3; ++axis) put(static_cast<float>(mesh.vertices[v][axis]));
    put(std::uint16_t{0});
  }
}

}  // namespace cellproof
