// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/search_tree.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh_import.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

/// How far a corner sticks out of a box.
double outside(const lanes::OneBox& box, const double (&corner)[3]) {
  double most = 0;
  for (std::size_t axis = 0; axis < 3; ++axis) {
    double along = 0;
    for (std::size_t k = 0; k < 3; ++k) along += box.axes[axis][k] * (corner[k] - box.centre[k]);
    most = std::max(most, std::abs(along) - box.half[axis]);
  }
  return most;
}

/// Checks that a slot's box holds all triangles under it; counts how often each is met.
void check_below(const SearchTree& tree, Slot slot, std::vector<lanes::OneBox> above, std::vector<int>& met) {
  above.push_back(box_of(tree, slot));
  const std::uint32_t held = tree.held(slot);
  if ((held & SearchTree::leaf_bit) == 0) {
    for (std::uint32_t lane = 0; lane < tree.nodes[held].count; ++lane)
      check_below(tree, held * lanes::count + lane, above, met);
    return;
  }
  const SearchTree::Leaf& leaf = tree.leaves[held & ~SearchTree::leaf_bit];
  for (std::uint32_t lane = 0; lane < leaf.count; ++lane) {
    ++met[leaf.number[lane]];
    const lanes::OneTriangle triangle = triangle_of(leaf, lane);
    for (const auto& corner : triangle.corner)
      for (const auto& box : above) REQUIRE(outside(box, corner) <= 1e-12);
  }
}

void check_tree(const Mesh& mesh) {
  const SearchTree tree = build_search_tree(mesh);
  std::vector<int> met(mesh.triangles.size(), 0);
  check_below(tree, SearchTree::root, {}, met);
  REQUIRE(std::all_of(met.begin(), met.end(), [](int times) { return times == 1; }));
}

Mesh many(random_geometry::Engine& engine, int count, const Vector3d& spread) {
  std::vector<Vector3d> corners;
  for (int i = 0; i < count; ++i) {
    const Vector3d middle = random_geometry::point_in_cube(engine, 1).cwiseProduct(spread);
    for (int k = 0; k < 3; ++k) corners.push_back(middle + random_geometry::point_in_cube(engine, 1));
  }
  return weld(corners).mesh;
}

}  // namespace

TEST_CASE("Every triangle is in one leaf, inside all the boxes over it") {
  random_geometry::Engine engine(41);
  for (const int count : {1, 2, 7, 8, 9, 16, 17, 63, 64, 65, 200, 3000}) {
    check_tree(many(engine, count, {50, 50, 50}));
    check_tree(many(engine, count, {500, 1, 0}));
  }
  check_tree(sphere_mesh(100));
  check_tree(box_mesh({10, 20, 30}));
}

TEST_CASE("Triangles that share a middle are parted all the same") {
  Mesh mesh;
  for (int i = 0; i < 500; ++i) {
    const double size = 1 + i;
    const auto first = static_cast<std::uint32_t>(mesh.vertices.size());
    mesh.vertices.insert(mesh.vertices.end(), {{-size, -size, 0}, {size, -size, 0}, {0, size, 0}});
    mesh.triangles.push_back({first, first + 1, first + 2});
  }
  check_tree(mesh);
}

TEST_CASE("The same triangle many times over is parted too") {
  Mesh mesh;
  mesh.vertices = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  mesh.triangles.assign(1000, {0, 1, 2});
  check_tree(mesh);
}

TEST_CASE("Boxes of a slanted plate lie as the plate does") {
  Mesh plate = box_mesh({200, 100, 1});
  const Eigen::Matrix3d turn = Eigen::AngleAxisd(0.7, Vector3d(1, 2, 3).normalized()).toRotationMatrix();
  for (Vector3d& p : plate.vertices) p = turn * p;
  const lanes::OneBox box = box_of(build_search_tree(plate), SearchTree::root);
  CHECK(8 * box.half[0] * box.half[1] * box.half[2] ==
        Approx(20000).epsilon(1e-3));  // its sides are rounded up to floats
}
