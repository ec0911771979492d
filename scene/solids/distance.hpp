// SPDX-License-Identifier: GPL-3.0-or-later
// Exact nearest distance between two placed meshes, at an instant and over an interval of motion.
#pragma once

#include <memory>
#include <optional>

#include "scene/basics/content_key.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

struct SearchTree;
struct OpenMesh;

/// A mesh with its search tree and box: what distances, containment and motion bounds are asked of. Never changes.
class Solid {
 public:
  explicit Solid(Mesh mesh);  ///< at least one triangle
  ~Solid();
  Solid(const Solid&) = delete;
  Solid& operator=(const Solid&) = delete;

  const Mesh& mesh() const { return mesh_; }
  const Box& box() const { return box_; }  ///< in the mesh's frame
  const Closedness& closed() const { return closed_; }
  /// One vertex of every connected shell, for containment.
  const std::vector<Vector3d>& shell_points() const { return shell_points_; }
  const SearchTree& tree() const { return *tree_; }
  /// What a mesh with holes surrounds; null for a closed one.
  const OpenMesh* open() const { return open_.get(); }
  const ContentKey& content() const { return content_; }  ///< of the mesh

 private:
  Mesh mesh_;
  Box box_;
  Closedness closed_;
  std::vector<Vector3d> shell_points_;
  ContentKey content_;
  std::unique_ptr<const SearchTree> tree_;
  std::unique_ptr<const OpenMesh> open_;
};

/// A triangle of each of two meshes.
struct TrianglePair {
  std::uint32_t a = 0, b = 0;
};

/// Nearest distance of two surfaces (mm) with its points in world; 0 where they touch or cross.
struct Nearest {
  double distance = std::numeric_limits<double>::quiet_NaN();
  bool within_cap = false;  ///< false: the distance is at least the cap, `distance` is the cap, points are NaN
  Vector3d point_a = Vector3d::Constant(std::numeric_limits<double>::quiet_NaN());
  Vector3d point_b = point_a;
  std::optional<TrianglePair> triangles;  ///< that the points lie on; none beyond the cap
};

/// Surfaces only: a solid wholly inside another has a positive distance here; see `contains_part_of`.
/// `cap` (mm, positive, may be infinity) makes the query cheap where the surfaces are further apart. Nearer than 1e-9
/// mm is touching, and 0. Throws std::invalid_argument if a pose or the cap is not a number: never "far apart".
/// `likely`: the triangles of an answer for poses nearby make the search shorter; the distance is the same with any.
/// `slack_mm`: the answer may be this much too far (half of it at the most), and the search ends the sooner: where
/// faces lie parallel, thousands of triangles are all but equally near.
Nearest nearest(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double cap,
                std::optional<TrianglePair> likely = std::nullopt, double slack_mm = 0);

/// How a moves against b about the middle of an interval of time, seen from b, all in world: a point p of a is
/// displaced from where it is in the middle by u (velocity + turning x (p - about)), u in [-half, half], and by at most
/// `stray_mm` more. Lengths in mm, turning in rad, both per unit of u.
struct RelativeMotion {
  Vector3d velocity = Vector3d::Zero(), turning = Vector3d::Zero(), about = Vector3d::Zero();
  double half = 0;
  double stray_mm = 0;  ///< not negative
};

/// Distances (mm) over an interval.
struct NearestOver {
  Nearest middle;                                              ///< at the middle instant
  double lower_mm = std::numeric_limits<double>::quiet_NaN();  ///< no instant is nearer; at most the cap
};

/// Encloses the least distance over an interval from one search. Triangles are convex: the direction between their
/// nearest points in the middle tells them apart, and only motion along it eats the gap. A slide along a wall costs
/// nothing. Poses are those of the middle. Cap, touching, `likely`, `slack_mm` (the lower bound may be that much too
/// low) and errors as for `nearest`.
NearestOver nearest_over(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world,
                         const RelativeMotion& motion, double cap, std::optional<TrianglePair> likely = std::nullopt,
                         double slack_mm = 0);

/// True if some shell of one lies inside the other: `Within::inside`. Asked for surfaces that do not touch.
bool contains_part_of(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world);

/// Lower bound of the distance of the two boxes (mm), cheap: 0 where they may overlap.
double box_distance(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world);

}  // namespace cellproof
