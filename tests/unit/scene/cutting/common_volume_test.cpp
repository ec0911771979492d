// SPDX-License-Identifier: GPL-3.0-or-later
// Common volumes of meshes and convex solids, against closed forms.
#include "scene/cutting/common_volume.hpp"

#include <random>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"

using namespace cellproof;

namespace {

ConvexSolid block(const Vector3d& low, const Vector3d& high) {
  std::vector<Vector3d> points;
  for (const double x : {low.x(), high.x()})
    for (const double y : {low.y(), high.y()})
      for (const double z : {low.z(), high.z()}) points.emplace_back(x, y, z);
  return *convex_hull(points);
}

}  // namespace

TEST_CASE("the common part of two boxes is a box") {
  const SolidProperties common = common_part(box_mesh({10, 20, 30}), block({2, -4, -50}, {90, 6, 3}));
  CHECK(common.volume == Approx(3.0 * 10 * 18).epsilon(1e-12));
  CHECK((common.centroid - Vector3d(3.5, 1, -6)).norm() < 1e-10);
}

TEST_CASE("a solid apart from the mesh, around it, within it") {
  const Mesh mesh = box_mesh({10, 20, 30});
  CHECK(common_part(mesh, block({6, -5, -5}, {9, 5, 5})).volume == Approx(0).margin(1e-10));
  CHECK(common_part(mesh, block({5, -5, -5}, {9, 5, 5})).volume == Approx(0).margin(1e-10));
  CHECK(common_part(mesh, block({-50, -50, -50}, {50, 50, 50})).volume == Approx(6000).epsilon(1e-12));
  CHECK(common_part(mesh, block({-1, -1, -1}, {1, 1, 1})).volume == Approx(8).epsilon(1e-12));
}

TEST_CASE("a hollow counts as nothing") {
  Mesh mesh = box_mesh({10, 10, 10});
  Mesh hollow = box_mesh({6, 6, 6});
  for (Triangle& triangle : hollow.triangles) std::swap(triangle[1], triangle[2]);
  const auto first = static_cast<std::uint32_t>(mesh.vertices.size());
  mesh.vertices.insert(mesh.vertices.end(), hollow.vertices.begin(), hollow.vertices.end());
  for (const auto& [a, b, c] : hollow.triangles) mesh.triangles.push_back({a + first, b + first, c + first});
  // the half of 1000 - 216 (elementary)
  CHECK(common_part(mesh, block({0, -50, -50}, {50, 50, 50})).volume == Approx(392).epsilon(1e-12));
}

TEST_CASE("two halves of a ball make the whole, wherever it is parted") {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> anywhere(-9, 9);
  const Mesh ball = sphere_mesh(10);
  const double whole = solid_properties(ball).volume;
  for (int i = 0; i < 5; ++i) {
    const double x = anywhere(random);
    const double left = common_part(ball, block({-20, -20, -20}, {x, 20, 20})).volume;
    const double right = common_part(ball, block({x, -20, -20}, {20, 20, 20})).volume;
    CHECK(left + right == Approx(whole).epsilon(1e-11));
    CHECK(left > 0);
    CHECK(right > 0);
  }
}
