// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/distance.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "tests/support/random_geometry.hpp"
#include "tests/support/triangle_oracle.hpp"

using namespace cellproof;

namespace {

constexpr double no_cap = std::numeric_limits<double>::infinity();

Pose at(double x, double y, double z) {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(x, y, z);
  return pose;
}

Pose turned(double angle, const Vector3d& axis, const Pose& then = Pose::Identity()) {
  Pose pose = then;
  pose.linear() = Eigen::AngleAxisd(angle, axis).toRotationMatrix();
  return pose;
}

/// The points lie on their surfaces, as far apart as the distance says.
void check_points(const Nearest& found, const Solid& a, const Pose& pa, const Solid& b, const Pose& pb,
                  double tolerance) {
  REQUIRE((found.point_a - found.point_b).norm() == Approx(found.distance).margin(tolerance));
  REQUIRE(oracle::distance(a.mesh(), pa, found.point_a) < tolerance);
  REQUIRE(oracle::distance(b.mesh(), pb, found.point_b) < tolerance);
}

/// Exact, capped above and capped below the answer, both ways round.
void check_against_oracle(const Solid& a, const Pose& pa, const Solid& b, const Pose& pb, double tolerance) {
  const double expected = oracle::distance(a.mesh(), pa, b.mesh(), pb);
  const Nearest exact = nearest(a, pa, b, pb, no_cap);
  REQUIRE(exact.within_cap);
  REQUIRE(exact.distance == Approx(expected).margin(tolerance));
  check_points(exact, a, pa, b, pb, tolerance);
  REQUIRE(nearest(b, pb, a, pa, no_cap).distance == Approx(expected).margin(tolerance));
  REQUIRE(box_distance(a, pa, b, pb) <= expected + tolerance);

  const Nearest above = nearest(a, pa, b, pb, 1.5 * expected + 1);
  REQUIRE(above.within_cap);
  REQUIRE(above.distance == Approx(expected).margin(tolerance));
  if (expected < 1e-3) return;
  const Nearest below = nearest(a, pa, b, pb, 0.7 * expected);
  REQUIRE_FALSE(below.within_cap);
  REQUIRE(below.distance == 0.7 * expected);
  REQUIRE(std::isnan(below.point_a.x()));
}

}  // namespace

TEST_CASE("Two boxes face to face, edge to edge and corner to corner") {
  const Solid box(box_mesh({10, 10, 10}));
  const auto gap = [&](const Pose& other) { return nearest(box, Pose::Identity(), box, other, no_cap).distance; };
  CHECK(gap(at(13, 0, 0)) == Approx(3));
  CHECK(gap(at(0, -17, 2)) == Approx(7));
  CHECK(gap(at(13, 14, 0)) == Approx(5));    // derived: √(3² + 4²)
  CHECK(gap(at(12, 13, -16)) == Approx(7));  // derived: √(2² + 3² + 6²)
  CHECK(gap(turned(pi / 4, Vector3d::UnitZ(), at(20, 0, 0))) == Approx(15 - 5 * std::sqrt(2.0)));  // an edge to a face
}

TEST_CASE("Nearest points are in world, the first on the first") {
  const Solid box(box_mesh({10, 10, 10})), small(box_mesh({2, 2, 2}));
  const Nearest found = nearest(box, at(100, 200, 300), small, at(100, 200, 310), no_cap);
  CHECK(found.distance == Approx(4));
  CHECK(found.point_a.z() == Approx(305));
  CHECK(found.point_b.z() == Approx(309));
}

TEST_CASE("Boxes with parallel edges, turned and moved together, against the closed form") {
  random_geometry::Engine engine(10);
  const Vector3d size_a(10, 20, 30), size_b(8, 25, 3);
  const Solid a(box_mesh(size_a)), b(box_mesh(size_b));
  for (int i = 0; i < 5000; ++i) {
    const Pose both = random_geometry::pose(engine, 2000);
    const Vector3d offset = random_geometry::point_in_cube(engine, 60);
    const Vector3d gaps = (offset.cwiseAbs() - (size_a + size_b) / 2).cwiseMax(0);
    if (gaps.norm() == 0) continue;
    const Pose b_in_world = both * at(offset.x(), offset.y(), offset.z());
    const Nearest found = nearest(a, both, b, b_in_world, no_cap);
    REQUIRE(found.distance == Approx(gaps.norm()).margin(1e-9));
    REQUIRE((found.point_a - found.point_b).norm() == Approx(found.distance).margin(1e-9));
    REQUIRE(box_distance(a, both, b, b_in_world) == Approx(gaps.maxCoeff()).margin(1e-9));
  }
}

TEST_CASE("A ball over a plate, within the deviation that the ball states") {
  const Solid ball(sphere_mesh(30)), plate(box_mesh({400, 400, 10}));
  for (const double gap : {0.5, 12.0, 250.0}) {
    const double found = nearest(ball, at(7, 3, 35 + gap), plate, Pose::Identity(), no_cap).distance;
    CHECK(found >= gap);
    CHECK(found <= gap + ball.mesh().deviation.outside);
  }
}

TEST_CASE("Crossed cylinders, within the deviations that they state") {
  const Solid thick(cylinder_mesh(20, 200)), thin(cylinder_mesh(8, 150));
  const double found =
      nearest(thick, Pose::Identity(), thin, turned(pi / 2, Vector3d::UnitX(), at(40, 0, 11)), no_cap).distance;
  CHECK(found >= 12);  // derived: 40 - 20 - 8
  CHECK(found <= 12 + thick.mesh().deviation.outside + thin.mesh().deviation.outside);
}

TEST_CASE("A thin plate against its own copy a hair away") {
  const Solid plate(box_mesh({100, 100, 0.01}));
  CHECK(nearest(plate, Pose::Identity(), plate, at(0, 0, 0.01 + 1e-6), no_cap).distance == Approx(1e-6).epsilon(1e-3));
}

TEST_CASE("Touching is 0") {
  const Solid box(box_mesh({10, 10, 10}));
  for (const Pose& other : {at(10, 0, 0), at(10, 10, 0), at(10, 10, 10), at(10, 3, -4)}) {
    const Nearest found = nearest(box, Pose::Identity(), box, other, no_cap);
    CHECK(found.distance == 0);
    CHECK(found.within_cap);
    CHECK(found.point_a == found.point_b);
  }
}

TEST_CASE("Crossing is 0 with a point on both surfaces, however deep") {
  random_geometry::Engine engine(11);
  const Solid a(box_mesh({10, 20, 30})), b(box_mesh({25, 7, 9}));
  for (int i = 0; i < 500; ++i) {
    const Pose pa = random_geometry::pose(engine, 1000);
    const Pose pb = pa * random_geometry::pose(engine, 4);
    const Nearest found = nearest(a, pa, b, pb, i % 2 ? no_cap : 5);
    REQUIRE(found.within_cap);
    REQUIRE(found.distance == 0);
    REQUIRE(found.point_a == found.point_b);
    check_points(found, a, pa, b, pb, 1e-9);
  }
}

TEST_CASE("A mesh against itself in the same place is 0") {
  const Solid ball(sphere_mesh(5));
  CHECK(nearest(ball, at(1, 2, 3), ball, at(1, 2, 3), no_cap).distance == 0);
}

TEST_CASE("A solid inside another is as far as its surface") {
  const Solid shell(box_mesh({100, 100, 100})), box(box_mesh({10, 10, 10}));
  CHECK(nearest(shell, Pose::Identity(), box, at(20, 0, 0), no_cap).distance == Approx(25));
}

TEST_CASE("Random tetrahedra in random poses as the oracle says") {
  random_geometry::Engine engine(12);
  int crossing = 0;
  for (int i = 0; i < 1500; ++i) {
    const double flatness = i % 3 == 0 ? 1e-3 : 1;
    const Solid a(random_geometry::tetrahedron(engine, 10, flatness)), b(random_geometry::tetrahedron(engine, 10));
    const Pose pa = random_geometry::pose(engine, i % 2 ? 3000 : 0), pb = pa * random_geometry::pose(engine, 15);
    check_against_oracle(a, pa, b, pb, 1e-9);
    crossing += nearest(a, pa, b, pb, no_cap).distance == 0;
  }
  CHECK(crossing > 100);
}

TEST_CASE("Coarse balls and cylinders in random poses as the oracle says") {
  random_geometry::Engine engine(13);
  const Solid ball(sphere_mesh(0.5)), rod(cylinder_mesh(0.4, 5));
  for (int i = 0; i < 8; ++i) {
    const Pose pa = random_geometry::pose(engine, 500), pb = pa * random_geometry::pose(engine, 4);
    check_against_oracle(ball, pa, rod, pb, 1e-9);
  }
}

TEST_CASE("A soup of triangles of all sizes as the oracle says") {
  random_geometry::Engine engine(14);
  const auto soup = [&] {
    std::vector<Vector3d> corners;
    for (int i = 0; i < 12; ++i) {
      const Vector3d middle = random_geometry::point_in_cube(engine, 100);
      const double size = std::pow(10.0, random_geometry::between(engine, -3, 2));
      for (int k = 0; k < 3; ++k) corners.push_back(middle + random_geometry::point_in_cube(engine, size));
    }
    return weld(corners).mesh;
  };
  for (int i = 0; i < 150; ++i) {
    const Solid a(soup()), b(soup());
    const Pose pa = random_geometry::pose(engine, 100);
    check_against_oracle(a, pa, b, pa * random_geometry::pose(engine, 250), 1e-9);
  }
}

TEST_CASE("A cap of exactly the distance is not undercut") {
  const Solid box(box_mesh({10, 10, 10}));
  const Nearest found = nearest(box, Pose::Identity(), box, at(13, 0, 0), 3);
  CHECK_FALSE(found.within_cap);
  CHECK(found.distance == 3);
}

TEST_CASE("A single triangle is a solid too") {
  Mesh mesh;
  mesh.vertices = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}};
  mesh.triangles = {{0, 1, 2}};
  const Solid triangle(mesh);
  CHECK_FALSE(triangle.closed().closed);
  CHECK(nearest(triangle, Pose::Identity(), triangle, at(0, 0, 2), no_cap).distance == Approx(2));
}

TEST_CASE("Poses that are not numbers and solids without triangles are bugs, not distances") {
  const Solid box(box_mesh({10, 10, 10}));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(nearest(box, at(nan, 0, 0), box, Pose::Identity(), 5), std::invalid_argument);
  CHECK_THROWS_AS(nearest(box, Pose::Identity(), box, Pose::Identity(), nan), std::invalid_argument);
  CHECK_THROWS_AS(Solid(Mesh{}), std::invalid_argument);
}
