// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/solids/distance.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

Pose at(double x, double y, double z) {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(x, y, z);
  return pose;
}

Mesh hollow_box(double outer, double inner) {
  Mesh mesh = box_mesh(Vector3d::Constant(outer));
  Mesh cavity = box_mesh(Vector3d::Constant(inner));
  mesh.vertices.insert(mesh.vertices.end(), cavity.vertices.begin(), cavity.vertices.end());
  for (const auto& [i, j, k] : cavity.triangles) mesh.triangles.push_back({i + 8, k + 8, j + 8});
  return mesh;
}

}  // namespace

TEST_CASE("A ball wholly inside a box is contained though the surfaces are apart, whichever is named first") {
  const Solid box(box_mesh({100, 100, 100})), ball(sphere_mesh(10));
  const Pose inside = at(20, -10, 5);
  CHECK(nearest(box, Pose::Identity(), ball, inside, 1000).distance == Approx(20).margin(0.02));
  CHECK(contains_part_of(box, Pose::Identity(), ball, inside));
  CHECK(contains_part_of(ball, inside, box, Pose::Identity()));
}

TEST_CASE("A ball beside a box is not contained") {
  const Solid box(box_mesh({100, 100, 100})), ball(sphere_mesh(10));
  CHECK_FALSE(contains_part_of(box, Pose::Identity(), ball, at(70, 0, 0)));
  CHECK_FALSE(contains_part_of(box, Pose::Identity(), ball, at(0, 0, -200)));
}

TEST_CASE("A ball in the cavity of a hollow box is free, and in its wall contained") {
  const Solid hollow(hollow_box(100, 60)), ball(sphere_mesh(5));
  CHECK(hollow.shell_points().size() == 2);
  CHECK_FALSE(contains_part_of(hollow, Pose::Identity(), ball, at(0, 0, 0)));
  CHECK(contains_part_of(hollow, Pose::Identity(), ball, at(40, 0, 0)));
}

TEST_CASE("A ball inside a box that lacks a triangle is contained, as it is surrounded all but by a twelfth") {
  Mesh open = box_mesh({100, 100, 100});
  open.triangles.pop_back();
  const Solid box(open), ball(sphere_mesh(10));
  CHECK(contains_part_of(box, Pose::Identity(), ball, Pose::Identity()));
  CHECK_FALSE(contains_part_of(box, Pose::Identity(), ball, at(70, 0, 0)));
}

TEST_CASE("One shell of many inside is enough") {
  // given two balls in one mesh, the second far off
  Mesh pair = sphere_mesh(5);
  const auto offset = static_cast<std::uint32_t>(pair.vertices.size());
  const Mesh other = sphere_mesh(5);
  for (const Vector3d& vertex : other.vertices) pair.vertices.push_back(vertex + Vector3d(300, 0, 0));
  for (const auto& [i, j, k] : other.triangles) pair.triangles.push_back({i + offset, j + offset, k + offset});
  const Solid balls(pair), box(box_mesh({100, 100, 100}));
  CHECK(contains_part_of(box, at(300, 0, 0), balls, Pose::Identity()));
  CHECK(contains_part_of(box, at(0, 0, 0), balls, Pose::Identity()));
  CHECK_FALSE(contains_part_of(box, at(150, 0, 0), balls, Pose::Identity()));
}

TEST_CASE("Small boxes at random in a large one, all placed at random in world, against the closed form") {
  const Solid large(box_mesh({100, 100, 100})), small(box_mesh({2, 2, 2}));
  random_geometry::Engine engine(5);
  int inside = 0;
  for (int i = 0; i < 500; ++i) {
    const Pose large_in_world = random_geometry::pose(engine, 2000);
    const Pose small_in_large = random_geometry::pose(engine, 80);
    const double out = small_in_large.translation().cwiseAbs().maxCoeff();
    if (out > 48 && out < 52) continue;  // may touch
    const bool found = contains_part_of(large, large_in_world, small, large_in_world * small_in_large);
    REQUIRE(found == (out < 50));
    inside += found;
  }
  CHECK(inside > 50);
}
