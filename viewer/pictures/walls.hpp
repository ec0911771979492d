// SPDX-License-Identifier: GPL-3.0-or-later
// A body's surface in walls: what is seen through is seen through as a whole.
#pragma once

#include <array>
#include <map>
#include <vector>

#include "scene/basics/id.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// A large flat face with all that lies in its plane, or a run of small faces that meet without a crease.
struct Wall {
  double area = 0;                     ///< mm²
  Vector3d middle = Vector3d::Zero();  ///< by area, in the body's frame
  Vector3d normal = Vector3d::Zero();  ///< mean by area, unit; zero where the wall closes upon itself
};

using WallId = Id<Wall>;

/// The walls of a mesh, and which of them a point of its surface belongs to. Rays do not tell triangles, so that the
/// wall is found by the plane that the point lies in.
class Walls {
 public:
  explicit Walls(const Mesh& mesh);

  const Table<WallId, Wall>& all() const { return walls_; }
  /// The wall of a point with the normal (unit, of either sign) of the surface there, both in the body's frame, if
  /// there is one.
  WallId at(const Vector3d& point, const Vector3d& normal) const;

 private:
  struct Plane {
    Vector3d normal;
    double offset = 0;
    WallId wall;
  };
  using Cell = std::array<int, 3>;
  void file(const Plane& plane);

  Table<WallId, Wall> walls_;
  std::map<Cell, std::vector<Plane>> planes_;  ///< by normal, under both signs
};

}  // namespace cellproof
