// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/distance.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "scene/mesh/mesh_key.hpp"
#include "scene/solids/open_mesh.hpp"
#include "scene/solids/search_tree.hpp"

namespace cellproof {

namespace {

std::vector<Vector3d> points_of_shells(const Mesh& mesh) {
  const Shells found = shells(mesh);
  std::vector<Vector3d> points;
  points.reserve(found.count);
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i)  // shells are numbered as they are met
    if (found.shell_of_triangle[i] == points.size()) points.push_back(mesh.vertices[mesh.triangles[i][0]]);
  return points;
}

/// A mesh drawn far off its own origin is placed back by large numbers: a pose's turn lies within 1.5e-13 of what is
/// meant on the lattice that poses of pairs are put on, and products of poses in doubles add less than a third of that.
/// Where it is more than the guard that every clearance keeps, it counts as deviation.
Mesh with_rounding(Mesh mesh) {
  constexpr double share = 2e-13, guarded_mm = 2e-7;
  double furthest = 0;
  for (const Vector3d& vertex : mesh.vertices) furthest = std::max(furthest, vertex.squaredNorm());
  const double rounding = share * std::sqrt(furthest);
  if (rounding > guarded_mm) {
    mesh.deviation.outside += rounding;
    mesh.deviation.inside += rounding;
  }
  return mesh;
}

/// Half extents and middle of a solid's box.
struct WorldBox {
  Eigen::Matrix3d axes;  ///< unit columns, in world
  Vector3d middle, half;
};

WorldBox placed_box(const Solid& solid, const Pose& in_world) {
  const Box& box = solid.box();
  return {in_world.linear(), in_world * Vector3d((box.low + box.high) / 2), (box.high - box.low) / 2};
}

/// Gap of the two boxes' shadows on a direction; negative where the shadows overlap.
double shadow_gap(const WorldBox& a, const WorldBox& b, const Vector3d& direction) {
  const double reach =
      (a.axes.transpose() * direction).cwiseAbs().dot(a.half) + (b.axes.transpose() * direction).cwiseAbs().dot(b.half);
  return std::abs(direction.dot(b.middle - a.middle)) - reach;
}

}  // namespace

Solid::Solid(Mesh mesh)
    : mesh_(with_rounding(std::move(mesh))),
      box_(box_of(mesh_)),
      closed_(closedness(mesh_)),
      shell_points_(points_of_shells(mesh_)),
      content_(content_of(mesh_)) {
  if (mesh_.triangles.empty()) throw std::invalid_argument("a solid needs triangles");
  tree_ = std::make_unique<const SearchTree>(build_search_tree(mesh_));
  if (!closed_.closed) open_ = std::make_unique<const OpenMesh>(open_mesh_of(mesh_));
}

Solid::~Solid() = default;

double box_distance(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world) {
  const WorldBox box_a = placed_box(a, a_in_world), box_b = placed_box(b, b_in_world);
  double most = 0;
  for (int i = 0; i < 3; ++i) {
    most = std::max({most, shadow_gap(box_a, box_b, box_a.axes.col(i)), shadow_gap(box_a, box_b, box_b.axes.col(i))});
    for (int j = 0; j < 3; ++j) {
      const Vector3d across = box_a.axes.col(i).cross(box_b.axes.col(j));
      const double length = across.norm();
      if (length > 1e-6) most = std::max(most, shadow_gap(box_a, box_b, across / length));
    }
  }
  return most;
}

}  // namespace cellproof
