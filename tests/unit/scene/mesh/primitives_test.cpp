// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/primitives.hpp"

#include <catch2/catch.hpp>

#include "tests/support/random_geometry.hpp"
#include "tests/support/triangle_oracle.hpp"

using namespace cellproof;

TEST_CASE("A box is exact") {
  const Mesh box = box_mesh({1, 2, 3});
  CHECK(box.deviation.outside == 0);
  CHECK(box.deviation.inside == 0);
  CHECK(solid_properties(box).volume == Approx(6));
}

TEST_CASE("A cylinder is a closed prism within its deviation") {
  for (const double radius : {0.01, 0.5, 3.0, 50.0, 160.0, 600.0}) {
    const double height = 40;
    const Mesh mesh = cylinder_mesh(radius, height);
    CAPTURE(radius);
    CHECK(closedness(mesh).closed);
    CHECK(shells(mesh).count == 1);
    // derived: a prism of n sides has V = n/2 r² sin(2π/n) h, and n sides have 2 + 2n vertices with the two middles
    const double n = (static_cast<double>(mesh.vertices.size()) - 2) / 2;
    const SolidProperties found = solid_properties(mesh);
    const double area = n / 2 * radius * radius * std::sin(2 * pi / n);
    CHECK(found.volume == Approx(area * height));
    // derived: polar second moment of a regular polygon, A r² (2 + cos(2π/n)) / 6
    CHECK(found.inertia(2, 2) == Approx(area * height * radius * radius * (2 + std::cos(2 * pi / n)) / 6));
    CHECK(mesh.deviation.outside == Approx(radius * (1 - std::cos(pi / n))));
    CHECK((mesh.deviation.outside <= 0.02 || n == 400));
    CHECK(mesh.deviation.inside == 0);
  }
}

TEST_CASE("A sphere is closed and lies inside its ball") {
  for (const double radius : {0.01, 2.0, 50.0}) {
    const Mesh mesh = sphere_mesh(radius);
    CAPTURE(radius, mesh.triangles.size());
    CHECK(closedness(mesh).closed);
    CHECK(shells(mesh).count == 1);
    for (const Vector3d& vertex : mesh.vertices) REQUIRE(vertex.norm() == Approx(radius).epsilon(1e-14));
    CHECK(mesh.deviation.outside > 0);
    CHECK(mesh.deviation.outside <= 0.02);
    const double ball = 4 * pi / 3 * radius * radius * radius;
    CHECK(solid_properties(mesh).volume < ball);
    CHECK(solid_properties(mesh).volume > ball * std::pow(1 - mesh.deviation.outside / radius, 3));
  }
}

TEST_CASE("No point of a sphere is farther from its mesh than the deviation says") {
  const double radius = 20;
  const Mesh mesh = sphere_mesh(radius);
  random_geometry::Engine engine(3);
  double farthest = 0;
  for (int i = 0; i < 20; ++i)
    farthest =
        std::max(farthest, oracle::distance(mesh, Pose::Identity(), radius * random_geometry::direction(engine)));
  CHECK(farthest > 0);
  CHECK(farthest <= mesh.deviation.outside);
}

TEST_CASE("A very large sphere states a larger deviation instead of growing without end") {
  const Mesh mesh = sphere_mesh(2000);
  CHECK(mesh.triangles.size() == 128000);  // derived: 20 faces of 80 × 80
  CHECK(mesh.deviation.outside > 0.02);
  CHECK(mesh.deviation.outside < 0.1);
}
