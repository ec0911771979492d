// SPDX-License-Identifier: GPL-3.0-or-later
// Exact nearest distance between two placed meshes.
#pragma once

#include <memory>

#include "scene/mesh.hpp"

namespace cellproof {

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
  struct Tree;
  const Tree& tree() const { return *tree_; }

 private:
  Mesh mesh_;
  Box box_;
  Closedness closed_;
  std::vector<Vector3d> shell_points_;
  std::unique_ptr<const Tree> tree_;
};

/// Nearest distance of two surfaces (mm) with its points in world; 0 where they touch or cross.
struct Nearest {
  double distance = std::numeric_limits<double>::quiet_NaN();
  bool within_cap = false;  ///< false: the distance is at least the cap, `distance` is the cap, points are NaN
  Vector3d point_a = Vector3d::Constant(std::numeric_limits<double>::quiet_NaN());
  Vector3d point_b = point_a;
};

/// Surfaces only: a solid wholly inside another has a positive distance here; see `contains_part_of`.
/// `cap` (mm, positive, may be infinity) makes the query cheap where the surfaces are further apart. Nearer than 1e-9
/// mm is touching, and 0. Throws std::invalid_argument if a pose or the cap is not a number: never "far apart".
Nearest nearest(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double cap);

/// First-order motion of a against b about a middle instant: a point p of a (world, at the middle) is displaced by
/// u·(velocity + turning × (p − about)), u in [-half, +half], and by at most `stray_mm` more.
struct RelativeMotion {
  Vector3d velocity = Vector3d::Zero(), turning = Vector3d::Zero(), about = Vector3d::Zero();
  double half = 0;
  double stray_mm = 0;
};

struct NearestOver {
  Nearest middle;  ///< nearest distance at the middle instant
  double lower_mm =
      0;  ///< the distance is at least this at every instant of the interval; the cap if nothing is nearer
};
NearestOver nearest_over(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world,
                         const RelativeMotion& motion, double cap);

/// True if some shell of one lies inside the other, closed one. Asked for surfaces that do not touch.
bool contains_part_of(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world);

/// Lower bound of the distance of the two boxes (mm), cheap: 0 where they may overlap.
double box_distance(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world);

}  // namespace cellproof
