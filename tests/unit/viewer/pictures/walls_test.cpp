// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/walls.hpp"

#include <random>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/lookout.hpp"
#include "viewer/pictures/veil.hpp"

using namespace cellproof;
using test::at;
using test::body;

namespace {

/// A plate 100 × 100 in z = 0 with a square hole of 40, as eight triangles about it.
Mesh plate_with_hole() {
  Mesh mesh;
  for (const double half : {50.0, 20.0})
    for (const auto& [x, y] : {std::array{-1, -1}, std::array{1, -1}, std::array{1, 1}, std::array{-1, 1}})
      mesh.vertices.push_back({half * x, half * y, 0});
  for (std::uint32_t i = 0; i < 4; ++i) {
    const std::uint32_t next = (i + 1) % 4;
    mesh.triangles.push_back({i, next, 4 + next});
    mesh.triangles.push_back({i, 4 + next, 4 + i});
  }
  return mesh;
}

}  // namespace

TEST_CASE("A box has six walls and every point of a side is of that side's") {
  const Walls walls(box_mesh({400, 300, 200}));
  REQUIRE(walls.all().size() == 6);
  double area = 0;
  for (const Wall& wall : walls.all()) area += wall.area;
  CHECK(area == Approx(2 * (400 * 300 + 400 * 200 + 300 * 200)));  // derived
  std::mt19937 random(7);
  std::uniform_real_distribution<double> x(-199, 199), y(-149, 149);
  const WallId top = walls.at({0, 0, 100}, Vector3d::UnitZ());
  REQUIRE(top);
  for (int i = 0; i < 200; ++i) {
    CHECK(walls.at({x(random), y(random), 100}, Vector3d::UnitZ()) == top);
    CHECK(walls.at({x(random), y(random), 100.001}, -Vector3d::UnitZ()) == top);  // a ray's normal is turned to the eye
    CHECK(walls.at({x(random), y(random), -100}, Vector3d::UnitZ()) != top);
  }
  CHECK_FALSE(walls.at({0, 0, 50}, Vector3d::UnitZ()));
}

TEST_CASE("A wall about a door is one") {
  const Walls walls(plate_with_hole());
  REQUIRE(walls.all().size() == 1);
  CHECK(walls.all().front().area == Approx(100 * 100 - 40 * 40));
  CHECK(walls.all().front().middle.norm() < 1e-9);
}

TEST_CASE("Two pieces in one plane are one wall and a round mantle is one") {
  Mesh two = plate_with_hole();
  Mesh other = plate_with_hole();
  for (auto& vertex : other.vertices) vertex.x() += 500;
  const auto first = static_cast<std::uint32_t>(two.vertices.size());
  for (const auto& vertex : other.vertices) two.vertices.push_back(vertex);
  for (const auto& triangle : other.triangles)
    two.triangles.push_back({triangle[0] + first, triangle[1] + first, triangle[2] + first});
  CHECK(Walls(two).all().size() == 1);
  CHECK(Walls(cylinder_mesh(300, 500)).all().size() == 3);
}

TEST_CASE("What a still sees through ends where a wall ends") {
  // Given a gripper in the corner of a case, so that planes through it cut the case's sides, when seen from many
  // directions, then all samples on a side of the case are seen through or none is.
  std::mt19937 random(11);
  std::uniform_real_distribution<double> part(-1, 1);
  const Cell cell = [] {
    Cell made = test::lookout(test::camera_60_degrees(), {},
                              {body("gripper", BoxShape{{100, 100, 100}}, at(0, 0, 0), "flange"),
                               body("case", BoxShape{{900, 700, 800}}, at(250, -180, 210))});
    made.cameras.clear();
    return made;
  }();
  const Scene scene = build_scene(cell).value();
  const Instant now = instant(scene, stated_arrangement(scene), Joints::Zero());
  const Table<BodyId, char> drawn(scene.bodies.size(), 1);
  const BodyId the_case = scene.bodies.last_id();
  REQUIRE(scene.bodies.back().name == "case");
  int mixed = 0, through = 0;
  for (int i = 0; i < 20; ++i) {
    const Vector3d direction = Vector3d(part(random), part(random), -std::abs(part(random)) - 0.1).normalized();
    std::vector<Vector3d> corners;
    for (const Vector3d& corner : scene.bodies.back().solid->box().corners())
      corners.push_back(now.frame_in_world[scene.bodies.back().frame] * corner);
    const int width = 96, height = 72;
    const ParallelEye eye = fitted_eye(direction, corners, corners, {4, 4, width - 8.0, height - 8.0});
    const Veil veil(scene, now, eye, width, height, drawn);
    const Surfaces outside = trace(eye.eye(width, height),
                                   sight_from(scene, now, eye.in_world, [&](BodyId b) { return b == the_case; }), {});
    std::map<std::array<int, 3>, std::array<int, 2>> by_normal;
    for (std::size_t sample = 0; sample < outside.solid.size(); ++sample) {
      const Surface& surface = outside.solid[sample];
      if (!surface.body) continue;
      const Eigen::Vector3i key = (100 * surface.normal).array().round().cast<int>();
      ++by_normal[{key.x(), key.y(), key.z()}][veil.see_through(sample, surface) ? 1 : 0];
    }
    for (const auto& [normal, counts] : by_normal) {
      mixed += counts[0] > 0 && counts[1] > 0 ? 1 : 0;
      through += counts[1] > 0 ? 1 : 0;
    }
  }
  CHECK(mixed == 0);
  CHECK(through >= 20);  // from every side at least the wall before the gripper
}
