// SPDX-License-Identifier: GPL-3.0-or-later
// A triangle mesh with what is computed from it once.
#pragma once

#include <array>
#include <cstdint>
#include <limits>
#include <optional>
#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

using Triangle = std::array<std::uint32_t, 3>;

/// How far the true surface may lie from the mesh (mm): outside of it by at most `outside`, inside by at most `inside`.
struct Deviation {
  double outside = 0, inside = 0;
};

/// Volume (mm^3, positive if counter-clockwise from outside), centroid (mm) and inertia per unit density about the
/// centroid (mm^5).
struct SolidProperties {
  double volume = 0;
  Vector3d centroid = Vector3d::Zero();
  Eigen::Matrix3d inertia = Eigen::Matrix3d::Zero();
};

/// What a file of curved surfaces says of the solid itself, not of its triangles.
struct ExactFigures {
  double area = 0;  ///< mm^2
  SolidProperties solid;
};

/// Corners are welded: equal positions are one vertex, within one solid of a file. Counter-clockwise from outside.
struct Mesh {
  std::vector<Vector3d> vertices;   ///< mm
  std::vector<Triangle> triangles;  ///< none degenerate
  Deviation deviation;
  std::optional<ExactFigures> exact;  ///< only of a closed solid; whoever moves a vertex drops it
};

/// Axis-aligned box.
struct Box {
  Vector3d low = Vector3d::Constant(std::numeric_limits<double>::infinity());
  Vector3d high = -low;
  bool contains(const Vector3d& point) const;
  void add(const Vector3d& point);
  std::array<Vector3d, 8> corners() const;
};
Box box_of(const Mesh& mesh);

/// What closes and what doesn't: `open_edges` counts edges without exactly two oppositely directed triangles.
struct Closedness {
  bool closed = false;
  std::size_t open_edges = 0;
};
Closedness closedness(const Mesh& mesh);

/// Connected shells: for each triangle the number of its shell, from 0, in the order they are met. Triangles that share
/// a vertex are connected.
struct Shells {
  std::vector<std::uint32_t> shell_of_triangle;
  std::uint32_t count = 0;
};
Shells shells(const Mesh& mesh);

double surface_area(const Mesh& mesh);  ///< mm^2; the file's own where the mesh carries it

/// Volume, centroid and inertia: the file's own where the mesh carries them, else those of the triangles by the
/// divergence theorem; meaningful only for closed meshes.
SolidProperties solid_properties(const Mesh& mesh);

/// Winding number of the mesh about a point: 1 inside a closed outward mesh, 0 outside (sum of signed solid angles over
/// 4π, A. van Oosterom, J. Strackee, 1983).
double winding_number(const Mesh& mesh, const Vector3d& point);

}  // namespace cellproof
