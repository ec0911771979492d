// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/distance.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/narrowphase/detail/traversal/collision_node.h>
#include <fcl/narrowphase/detail/traversal/distance/mesh_distance_traversal_node.h>

#include "scene/triangle_distance.hpp"

namespace cellproof {

namespace {

// Other kinds of tree give distances of 1.8e308 here.
using Model = fcl::BVHModel<fcl::OBBRSSd>;
using Descent = fcl::detail::MeshDistanceTraversalNodeOBBRSSd;

/// Surfaces nearer than this (mm) touch: below it lies the rounding of poses and of coordinates of metres.
constexpr double touching = 1e-9;

/// FCL's descent of two trees with our own test of two triangles. FCL's returns no points where triangles cross, and
/// about one pair in 100,000 with corners on a small lattice comes out too far apart, some of them touching.
class TriangleDescent final : public Descent {
 public:
  void preprocess() override {}
  void postprocess() override {}
  void leafTesting(int node_a, int node_b) const override {
    const int i = model1->getBV(node_a).primitiveId(), j = model2->getBV(node_b).primitiveId();
    const fcl::Triangle &a = tri_indices1[i], &b = tri_indices2[j];
    const double limit = result->min_distance;
    const TriangleGap gap = triangle_gap({vertices1[a[0]], vertices1[a[1]], vertices1[a[2]]},
                                         {tf * vertices2[b[0]], tf * vertices2[b[1]], tf * vertices2[b[2]]},
                                         limit > 1e150 ? std::numeric_limits<double>::infinity() : limit * limit);
    if (std::isfinite(gap.squared))
      result->update(std::sqrt(gap.squared), model1, model2, i, j, gap.point_a, gap.point_b);
  }
};

std::vector<Vector3d> points_of_shells(const Mesh& mesh) {
  const Shells found = shells(mesh);
  std::vector<Vector3d> points;
  points.reserve(found.count);
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i)  // shells are numbered as they are met
    if (found.shell_of_triangle[i] == points.size()) points.push_back(mesh.vertices[mesh.triangles[i][0]]);
  return points;
}

Nearest beyond(double cap) {
  Nearest result;
  result.distance = cap;
  return result;
}

/// Half extents and middle of a solid's box.
struct PlacedBox {
  Eigen::Matrix3d axes;  ///< unit columns, in world
  Vector3d middle, half;
};

PlacedBox placed_box(const Solid& solid, const Pose& in_world) {
  const Box& box = solid.box();
  return {in_world.linear(), in_world * Vector3d((box.low + box.high) / 2), (box.high - box.low) / 2};
}

/// Gap of the two boxes' shadows on a direction; negative where the shadows overlap.
double shadow_gap(const PlacedBox& a, const PlacedBox& b, const Vector3d& direction) {
  const double reach =
      (a.axes.transpose() * direction).cwiseAbs().dot(a.half) + (b.axes.transpose() * direction).cwiseAbs().dot(b.half);
  return std::abs(direction.dot(b.middle - a.middle)) - reach;
}

}  // namespace

struct Solid::Tree {
  Model model;
};

Solid::Solid(Mesh mesh)
    : mesh_(std::move(mesh)), box_(box_of(mesh_)), closed_(closedness(mesh_)), shell_points_(points_of_shells(mesh_)) {
  if (mesh_.triangles.empty()) throw std::invalid_argument("a solid needs triangles");
  std::vector<fcl::Triangle> triangles;
  triangles.reserve(mesh_.triangles.size());
  for (const auto& [a, b, c] : mesh_.triangles) triangles.emplace_back(a, b, c);
  auto tree = std::make_unique<Tree>();
  tree->model.beginModel(static_cast<int>(triangles.size()), static_cast<int>(mesh_.vertices.size()));
  tree->model.addSubModel(mesh_.vertices, triangles);
  if (tree->model.endModel() != fcl::BVH_OK) throw std::runtime_error("the search tree of a mesh could not be built");
  tree_ = std::move(tree);
}

Solid::~Solid() = default;

Nearest nearest(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double cap) {
  if (!a_in_world.matrix().allFinite() || !b_in_world.matrix().allFinite() || std::isnan(cap))
    throw std::invalid_argument("nearest: a pose or the cap is not a number");
  if (box_distance(a, a_in_world, b, b_in_world) >= cap) return beyond(cap);
  fcl::DistanceResultd found;
  if (cap < found.min_distance) found.min_distance = cap;
  TriangleDescent descent;
  fcl::detail::initialize(descent, a.tree().model, a_in_world, b.tree().model, b_in_world, fcl::DistanceRequestd(true),
                          found);
  fcl::detail::distance<double>(&descent);
  if (!found.o1) {
    if (std::isinf(cap)) throw std::logic_error("nearest: no distance was found between two meshes");
    return beyond(cap);
  }
  Nearest result;
  result.within_cap = true;
  result.distance = found.min_distance <= touching ? 0 : found.min_distance;
  result.point_a = a_in_world * found.nearest_points[0];
  result.point_b = result.distance == 0 ? result.point_a : Vector3d(a_in_world * found.nearest_points[1]);
  return result;
}

double box_distance(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world) {
  const PlacedBox box_a = placed_box(a, a_in_world), box_b = placed_box(b, b_in_world);
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
