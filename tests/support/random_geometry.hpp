// SPDX-License-Identifier: GPL-3.0-or-later
// Random poses and small closed meshes, the same on every run.
#pragma once

#include <random>

#include "scene/mesh/mesh.hpp"

namespace cellproof::random_geometry {

using Engine = std::mt19937_64;

inline double between(Engine& engine, double low, double high) {
  return low + (high - low) * (static_cast<double>(engine() >> 11U) * 0x1p-53);
}

inline Vector3d point_in_cube(Engine& engine, double half) {
  const double x = between(engine, -half, half), y = between(engine, -half, half), z = between(engine, -half, half);
  return {x, y, z};
}

inline Vector3d direction(Engine& engine) {
  for (;;) {
    const Vector3d p = point_in_cube(engine, 1);
    if (p.norm() < 1 && p.norm() > 0.1) return p.normalized();
  }
}

inline Pose pose(Engine& engine, double reach) {
  Pose result = Pose::Identity();
  result.linear() = Eigen::AngleAxisd(between(engine, 0, pi), direction(engine)).toRotationMatrix();
  result.translation() = point_in_cube(engine, reach);
  return result;
}

/// Outward; any shape down to slivers: `flatness` scales one axis.
inline Mesh tetrahedron(Engine& engine, double half, double flatness = 1) {
  Mesh mesh;
  for (int i = 0; i < 4; ++i) {
    Vector3d p = point_in_cube(engine, half);
    p.z() *= flatness;
    mesh.vertices.push_back(p);
  }
  const auto& v = mesh.vertices;
  if ((v[1] - v[0]).cross(v[2] - v[0]).dot(v[3] - v[0]) < 0) std::swap(mesh.vertices[0], mesh.vertices[1]);
  mesh.triangles = {{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}};
  return mesh;
}

}  // namespace cellproof::random_geometry
