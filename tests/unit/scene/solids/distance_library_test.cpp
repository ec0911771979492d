// SPDX-License-Identifier: GPL-3.0-or-later
// Our distances beside those of FCL, a library that shares no code with ours.
#include <catch2/catch.hpp>
#include <fcl/geometry/bvh/BVH_model.h>
#include <fcl/narrowphase/distance.h>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "scene/solids/distance.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

constexpr double no_cap = std::numeric_limits<double>::infinity();

using Model = fcl::BVHModel<fcl::OBBRSSd>;

/// A mesh in both forms.
struct Both {
  explicit Both(const Mesh& mesh) : solid(mesh) {
    std::vector<fcl::Triangle> triangles;
    for (const auto& [a, b, c] : mesh.triangles) triangles.emplace_back(a, b, c);
    model.beginModel();
    model.addSubModel(mesh.vertices, triangles);
    model.endModel();
  }
  Solid solid;
  Model model;
};

double by_library(const Both& a, const Pose& pa, const Both& b, const Pose& pb) {
  fcl::DistanceResultd result;
  fcl::distance(&a.model, pa, &b.model, pb, fcl::DistanceRequestd(true), result);
  return std::max(0.0, result.min_distance);
}

Mesh bumpy(Mesh ball, double radius) {
  for (Vector3d& vertex : ball.vertices) {
    const Vector3d u = vertex.normalized();
    vertex = radius * (1 + 0.1 * std::sin(9 * u.x()) * std::cos(7 * u.y() + 2 * u.z())) * u;
  }
  return ball;
}

/// Every third triangle gone, some turned over, some twice.
Mesh spoilt(Mesh mesh) {
  std::vector<Triangle> triangles;
  for (std::size_t i = 0; i < mesh.triangles.size(); ++i) {
    const auto [a, b, c] = mesh.triangles[i];
    if (i % 3 == 0) continue;
    triangles.push_back(i % 4 == 0 ? Triangle{a, c, b} : Triangle{a, b, c});
    if (i % 5 == 0) triangles.push_back({b, c, a});
  }
  mesh.triangles = triangles;
  return mesh;
}

Mesh stretched(Mesh mesh, const Vector3d& by) {
  for (Vector3d& vertex : mesh.vertices) vertex = vertex.cwiseProduct(by);
  return mesh;
}

/// Returns how many poses touched.
int compare(const Both& a, const Both& b, double reach, int times, random_geometry::Engine& engine) {
  int touching = 0;
  std::optional<TrianglePair> last;
  for (int i = 0; i < times; ++i) {
    const Pose pa = random_geometry::pose(engine, 500), pb = pa * random_geometry::pose(engine, reach);
    const double expected = by_library(a, pa, b, pb);
    const Nearest found = nearest(a.solid, pa, b.solid, pb, no_cap);
    REQUIRE(found.distance == Approx(expected).margin(1e-6 * reach));
    REQUIRE((found.point_a - found.point_b).norm() == Approx(found.distance).margin(1e-9));
    REQUIRE(nearest(a.solid, pa, b.solid, pb, no_cap, last).distance == Approx(found.distance).margin(1e-9));
    REQUIRE(nearest(a.solid, pa, b.solid, pb, 10, found.triangles).distance ==
            Approx(std::min(10.0, found.distance)).margin(1e-9));
    last = found.triangles;
    touching += found.distance == 0;
  }
  return touching;
}

}  // namespace

TEST_CASE("Bumpy balls in thousands of poses are as far apart as the library says") {
  random_geometry::Engine engine(51);
  const Both a(bumpy(sphere_mesh(60), 100)), b(bumpy(sphere_mesh(10), 40));
  const int touching = compare(a, b, 250, 2000, engine);
  CHECK(touching > 50);
  CHECK(touching < 1000);
}

TEST_CASE("Open, turned over and doubled triangles too") {
  random_geometry::Engine engine(52);
  const Both a(spoilt(bumpy(sphere_mesh(20), 100))), b(spoilt(box_mesh({60, 70, 80})));
  CHECK(compare(a, b, 200, 1000, engine) > 10);
}

TEST_CASE("Plates and needles of slivers too") {
  random_geometry::Engine engine(53);
  const Both plate(stretched(sphere_mesh(20), {10, 10, 1e-3})), needle(stretched(sphere_mesh(10), {30, 1e-2, 1e-2}));
  compare(plate, needle, 400, 500, engine);
  compare(needle, needle, 400, 500, engine);
}

TEST_CASE("A ball inside a shell too") {
  random_geometry::Engine engine(54);
  const Both shell(bumpy(sphere_mesh(40), 200)), ball(bumpy(sphere_mesh(10), 30));
  CHECK(compare(shell, ball, 60, 500, engine) == 0);
}

TEST_CASE("Parallel faces of many triangles too") {
  random_geometry::Engine engine(55);
  const Both a(cylinder_mesh(30, 80)), b(cylinder_mesh(20, 50));
  for (int i = 0; i < 300; ++i) {
    const Pose pa = random_geometry::pose(engine, 500);
    Pose apart = Pose::Identity();
    apart.translation() = random_geometry::point_in_cube(engine, 100);
    const Pose pb = pa * apart;
    REQUIRE(nearest(a.solid, pa, b.solid, pb, no_cap).distance == Approx(by_library(a, pa, b, pb)).margin(1e-6 * 100));
  }
}

TEST_CASE("Tens of thousands of needles too") {
  // Given brushes of 10,000 and 4,000 needles of four slivers each, every one as long as it likes.
  random_geometry::Engine engine(56);
  const auto brush = [&](int needles, double reach) {
    std::vector<Vector3d> corners;
    for (int i = 0; i < needles; ++i) {
      const Vector3d foot = random_geometry::point_in_cube(engine, reach),
                     tip = foot + random_geometry::between(engine, 1, reach) * random_geometry::direction(engine);
      const Mesh thin = random_geometry::tetrahedron(engine, 0.01);
      for (const Triangle& triangle : thin.triangles)
        for (const std::uint32_t v : triangle) corners.push_back((v == 0 ? tip : foot) + thin.vertices[v]);
    }
    return weld(corners).mesh;
  };
  const Both a(brush(10000, 60)), b(brush(4000, 30));
  const int touching = compare(a, b, 250, 200, engine);
  CHECK(touching > 2);
  CHECK(touching < 150);
}
