// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/search_tree.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "scene/solids/leaf_sight.hpp"
#include "scene/solids/tree_descent.hpp"
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

double area(const Vector3d& a, const Vector3d& b, const Vector3d& c) {
  return 0.5 * (b - a).cross(c - a).norm();
}

/// Checks that a slot's box holds all triangles, or pieces of them, under it; sums up the area that is met of each.
void check_below(const SearchTree& tree, Slot slot, std::vector<lanes::OneBox> above, std::vector<double>& met) {
  above.push_back(box_of(tree, slot));
  const std::uint32_t held = tree.held(slot);
  if ((held & SearchTree::leaf_bit) == 0) {
    for (std::uint32_t lane = 0; lane < tree.nodes[held].count; ++lane)
      check_below(tree, held * lanes::count + lane, above, met);
    return;
  }
  const SearchTree::Leaf& leaf = tree.leaves[held & ~SearchTree::leaf_bit];
  for (std::uint32_t lane = 0; lane < leaf.count; ++lane) {
    const lanes::OneTriangle triangle = triangle_of(leaf, lane);
    met[leaf.number[lane]] +=
        area(Vector3d(triangle.corner[0]), Vector3d(triangle.corner[1]), Vector3d(triangle.corner[2]));
    for (const auto& corner : triangle.corner)
      for (const auto& box : above) REQUIRE(outside(box, corner) <= 1e-12);
  }
}

void check_tree(const Mesh& mesh) {
  const SearchTree tree = build_search_tree(mesh);
  std::vector<double> met(mesh.triangles.size(), 0);
  check_below(tree, SearchTree::root, {}, met);
  for (std::size_t i = 0; i < met.size(); ++i) {
    const auto& [a, b, c] = mesh.triangles[i];
    REQUIRE(met[i] == Approx(area(mesh.vertices[a], mesh.vertices[b], mesh.vertices[c])).epsilon(1e-9));
  }
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

TEST_CASE("Leaves cover every triangle once, inside all the boxes over them") {
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

TEST_CASE("What a line of sight says of two leaves' points holds for their triangles, moved or not") {
  random_geometry::Engine engine(42);
  int told_apart = 0;
  for (int i = 0; i < 400; ++i) {
    // Far from their frames' origins, where floats are coarse; some leaves have more corners than points fit.
    const Vector3d off = 3000 * random_geometry::direction(engine);
    Mesh one = many(engine, 1 + i % 8, {4, 4, 4}), other = many(engine, 1 + i % 5, {4, 4, 4});
    for (Vector3d& p : one.vertices) p += off;
    const SearchTree a = build_search_tree(one), b = build_search_tree(other);
    Pose b_in_world = random_geometry::pose(engine, 0);
    b_in_world.translation() = off + random_geometry::between(engine, 6, 14) * random_geometry::direction(engine);
    const FramePair frames = frame_pair(Pose::Identity(), b_in_world);
    const lanes::SharedDirection sight = sight_along(b_in_world.translation() - off, frames);
    lanes::Drift motion;
    put(motion.shift, 0.5 * random_geometry::direction(engine));
    put(motion.turn, 1e-4 * random_geometry::direction(engine));
    const LeafSight still(a, b, sight, {}), moved(a, b, sight, motion);
    for (std::size_t m = 0; m < a.leaves.size(); ++m)
      for (std::size_t n = 0; n < b.leaves.size(); ++n)
        for (const double limit : {0.0, 1.0, 3.0}) {
          const lanes::Triangles &ta = a.leaves[m].triangles, &tb = b.leaves[n].triangles;
          if (still.apart(a.leaf_points[m], b.leaf_points[n], limit)) {
            ++told_apart;
            REQUIRE(lanes::nearer_along(ta, tb, sight, limit) == 0);
          }
          if (moved.apart_moved(a.leaf_points[m], b.leaf_points[n], limit))
            REQUIRE(lanes::nearer_along_moved(ta, tb, sight, motion, limit) == 0);
        }
  }
  CHECK(told_apart > 200);
}

TEST_CASE("A leaf's points lose no more than rounding against its triangles") {
  const SearchTree ball = build_search_tree(sphere_mesh(100));
  const FramePair frames = frame_pair(Pose::Identity(), Pose(Eigen::Translation3d(300, 0, 0)));
  const lanes::SharedDirection sight = sight_along({1, 0, 0}, frames);
  const LeafSight leaf_sight(ball, ball, sight, {});
  int sharp = 0, all = 0;
  for (std::size_t m = 0; m < ball.leaves.size(); m += 3)
    for (std::size_t n = 0; n < ball.leaves.size(); n += 5) {
      const lanes::Triangles &a = ball.leaves[m].triangles, &b = ball.leaves[n].triangles;
      // The gap along the sight by halving: what the triangles themselves say.
      double apart = -300, not_apart = 600;
      while (not_apart - apart > 1e-6) {
        const double limit = 0.5 * (apart + not_apart);
        (lanes::nearer_along(a, b, sight, limit) == 0 ? apart : not_apart) = limit;
      }
      ++all;
      sharp += leaf_sight.apart(ball.leaf_points[m], ball.leaf_points[n], apart - 1e-3);
      REQUIRE_FALSE(leaf_sight.apart(ball.leaf_points[m], ball.leaf_points[n], not_apart + 1e-6));
    }
  CHECK(sharp > 0.9 * all);  // but for leaves with more than sixteen corners
}
