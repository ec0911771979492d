// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/mesh.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

Mesh moved(Mesh mesh, const Pose& by) {
  for (Vector3d& vertex : mesh.vertices) vertex = by * vertex;
  return mesh;
}

Mesh joined(const Mesh& a, const Mesh& b) {
  Mesh both = a;
  const auto offset = static_cast<std::uint32_t>(a.vertices.size());
  both.vertices.insert(both.vertices.end(), b.vertices.begin(), b.vertices.end());
  for (const auto& [i, j, k] : b.triangles) both.triangles.push_back({i + offset, j + offset, k + offset});
  return both;
}

Mesh inside_out(Mesh mesh) {
  for (Triangle& triangle : mesh.triangles) std::swap(triangle[1], triangle[2]);
  return mesh;
}

Pose at(double x, double y, double z) {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(x, y, z);
  return pose;
}

}  // namespace

TEST_CASE("A box has eight corners, closes, and is one shell") {
  const Mesh box = box_mesh({10, 20, 30});
  CHECK(box_of(box).low == Vector3d(-5, -10, -15));
  CHECK(box_of(box).high == Vector3d(5, 10, 15));
  CHECK(closedness(box).closed);
  CHECK(shells(box).count == 1);
  CHECK(surface_area(box) == Approx(2 * (10 * 20 + 10 * 30 + 20 * 30)));  // derived
}

TEST_CASE("A missing triangle opens three edges") {
  Mesh box = box_mesh({10, 20, 30});
  box.triangles.pop_back();
  CHECK_FALSE(closedness(box).closed);
  CHECK(closedness(box).open_edges == 3);
}

TEST_CASE("A triangle turned over opens its edges, though each still has two triangles") {
  Mesh box = box_mesh({10, 20, 30});
  std::swap(box.triangles[0][1], box.triangles[0][2]);
  CHECK(closedness(box).open_edges == 3);
}

TEST_CASE("An edge shared by four triangles is open") {
  // given two boxes that share one edge and its two vertices
  const Mesh first = box_mesh({2, 2, 2});
  const Mesh both = joined(first, moved(first, at(2, 2, 0)));
  std::vector<Vector3d> corners;
  for (const Triangle& triangle : both.triangles)
    for (const std::uint32_t vertex : triangle) corners.push_back(both.vertices[vertex]);
  const Mesh welded = weld(corners).mesh;
  CHECK(welded.vertices.size() == 14);
  CHECK(closedness(welded).open_edges == 1);
}

TEST_CASE("No triangles are not closed") {
  CHECK_FALSE(closedness(Mesh{}).closed);
}

TEST_CASE("Shells are numbered as they are met") {
  const Mesh three = joined(joined(box_mesh({1, 1, 1}), moved(sphere_mesh(1), at(5, 0, 0))), box_mesh({20, 20, 20}));
  const Shells found = shells(three);
  CHECK(found.count == 3);
  CHECK(found.shell_of_triangle.front() == 0);
  CHECK(found.shell_of_triangle[12] == 1);
  CHECK(found.shell_of_triangle.back() == 2);
}

TEST_CASE("Volume, centroid and inertia of a box wherever it is") {
  // derived: V = abc, I_xx = V (b² + c²) / 12
  const double a = 10, b = 20, c = 30, volume = a * b * c;
  const Vector3d moments = volume / 12 * Vector3d(b * b + c * c, a * a + c * c, a * a + b * b);
  random_geometry::Engine engine(1);
  for (int i = 0; i < 100; ++i) {
    const Pose pose = random_geometry::pose(engine, 3000);
    const SolidProperties found = solid_properties(moved(box_mesh({a, b, c}), pose));
    const Eigen::Matrix3d inertia = pose.linear() * moments.asDiagonal() * pose.linear().transpose();
    REQUIRE(found.volume == Approx(volume).epsilon(1e-11));
    REQUIRE((found.centroid - pose.translation()).norm() < 1e-8);
    REQUIRE((found.inertia - inertia).norm() < 1e-9 * inertia.norm());
  }
}

TEST_CASE("Volume, centroid and inertia of the corner tetrahedron") {
  // derived: ∫x² = a³bc/60, ∫xy = a²b²c/120 over the tetrahedron of the axes' points a, b, c; V = abc/6; centroid (a,
  // b, c)/4
  const double a = 6, b = 8, c = 10, volume = a * b * c / 6;
  Mesh mesh;
  mesh.vertices = {{0, 0, 0}, {a, 0, 0}, {0, b, 0}, {0, 0, c}};
  mesh.triangles = {{0, 2, 1}, {0, 1, 3}, {0, 3, 2}, {1, 2, 3}};
  const SolidProperties found = solid_properties(mesh);
  CHECK(found.volume == Approx(volume));
  CHECK((found.centroid - Vector3d(a, b, c) / 4).norm() < 1e-12);
  const double xx = volume * (a * a / 10 - a * a / 16), yy = volume * (b * b / 10 - b * b / 16),
               zz = volume * (c * c / 10 - c * c / 16), xy = volume * (a * b / 20 - a * b / 16);
  CHECK(found.inertia(0, 0) == Approx(yy + zz));
  CHECK(found.inertia(1, 1) == Approx(xx + zz));
  CHECK(found.inertia(2, 2) == Approx(xx + yy));
  CHECK(found.inertia(0, 1) == Approx(-xy));
}

TEST_CASE("A cavity is taken off") {
  const Mesh hollow = joined(box_mesh({10, 10, 10}), inside_out(box_mesh({4, 4, 4})));
  CHECK(closedness(hollow).closed);
  CHECK(solid_properties(hollow).volume == Approx(1000 - 64));
}

TEST_CASE("An inside-out box has a negative volume") {
  CHECK(solid_properties(inside_out(box_mesh({2, 3, 4}))).volume == Approx(-24));
}

TEST_CASE("Winding number is 1 inside, 0 outside, -1 inside what is inside out") {
  const Mesh box = box_mesh({10, 10, 10});
  random_geometry::Engine engine(2);
  for (int i = 0; i < 1000; ++i) {
    const Vector3d p = random_geometry::point_in_cube(engine, 9);
    const double expected = p.cwiseAbs().maxCoeff() < 5 ? 1 : 0;
    REQUIRE(winding_number(box, p) == Approx(expected).margin(1e-9));
    REQUIRE(winding_number(inside_out(box), p) == Approx(-expected).margin(1e-9));
  }
}

TEST_CASE("One face of a cube fills a sixth of the sphere about its centre") {
  // derived: 4π/6 sr
  Mesh face = box_mesh({10, 10, 10});
  face.triangles.resize(2);
  CHECK(winding_number(face, Vector3d::Zero()) == Approx(1.0 / 6).epsilon(1e-12));
}

TEST_CASE("Winding numbers of nested shells add up") {
  const Mesh nested = joined(box_mesh({10, 10, 10}), box_mesh({4, 4, 4}));
  CHECK(winding_number(nested, Vector3d::Zero()) == Approx(2));
  const Mesh hollow = joined(box_mesh({10, 10, 10}), inside_out(box_mesh({4, 4, 4})));
  CHECK(winding_number(hollow, Vector3d::Zero()) == Approx(0).margin(1e-12));
  CHECK(winding_number(hollow, Vector3d(3, 0, 0)) == Approx(1));
}
