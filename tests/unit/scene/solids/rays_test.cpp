// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/rays.hpp"

#include <optional>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

Pose at(double x, double y, double z) {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(x, y, z);
  return pose;
}

std::vector<Hit> shoot(const RayScene& scene, const std::vector<Ray>& rays) {
  std::vector<Hit> hits(rays.size());
  scene.first_hits(rays, hits);
  return hits;
}

/// Where a ray enters a box centred on its frame, by its slabs; infinity if it passes. For rays from outside.
double entry_into_box(const Vector3d& size, const Ray& ray) {
  double enter = -infinity, leave = infinity;
  for (int i = 0; i < 3; ++i) {
    const double a = (-size[i] / 2 - ray.origin[i]) / ray.direction[i];
    const double b = (size[i] / 2 - ray.origin[i]) / ray.direction[i];
    enter = std::max(enter, std::min(a, b));
    leave = std::min(leave, std::max(a, b));
  }
  return enter < leave && enter > 0 ? enter : infinity;
}

/// T. Möller, B. Trumbore, 1997, in double; also how near the border of the triangle the ray goes through.
struct TriangleHit {
  double along = infinity, border = infinity;
};
TriangleHit through_triangle(const Vector3d& a, const Vector3d& b, const Vector3d& c, const Ray& ray) {
  const Vector3d ab = b - a, ac = c - a, p = ray.direction.cross(ac);
  const double det = ab.dot(p);
  if (det == 0) return {};
  const Vector3d t = ray.origin - a;
  const double u = t.dot(p) / det, v = ray.direction.dot(t.cross(ab)) / det, along = ac.dot(t.cross(ab)) / det;
  const double border = std::min({u, v, 1 - u - v});
  if (along < ray.near || along > ray.far) return {};
  return border < 0 ? TriangleHit{infinity, -border} : TriangleHit{along, border};
}

}  // namespace

TEST_CASE("A ray along an axis hits the near face of a box and reports its outward normal") {
  const std::vector<PlacedRayBody> bodies = {{make_ray_body(box_mesh({10, 10, 10})), at(0, 0, 100)}};
  const auto hits = shoot(RayScene(bodies), {Ray{{1, 2, 0}, {0, 0, 1}}});
  CHECK(hits[0].body == 0U);
  CHECK(hits[0].along == Approx(95));
  CHECK((hits[0].normal.normalized() - Vector3d(0, 0, -1)).norm() < 1e-6);
}

TEST_CASE("Distances are in lengths of the direction, near and far too") {
  const std::vector<PlacedRayBody> bodies = {{make_ray_body(box_mesh({10, 10, 10})), at(0, 0, 100)}};
  const RayScene scene(bodies);
  const auto hits =
      shoot(scene, {Ray{{1, 2, 0}, {0, 0, 50}}, Ray{{1, 2, 0}, {0, 0, 50}, 0, 1.89},
                    Ray{{1, 2, 0}, {0, 0, 50}, 1.91, infinity}, Ray{{1, 2, 0}, {0, 0, 50}, 2.2, infinity}});
  CHECK(hits[0].along == Approx(1.9));
  CHECK_FALSE(hits[1].body);
  CHECK(std::isinf(hits[1].along));
  CHECK(hits[2].along == Approx(2.1));  // the far face from within
  CHECK(hits[2].normal.normalized().z() == Approx(1));
  CHECK_FALSE(hits[3].body);
}

TEST_CASE("The nearest of several bodies is named by its place in the list") {
  const auto body = make_ray_body(box_mesh({10, 10, 10}));
  const std::vector<PlacedRayBody> bodies = {{body, at(0, 0, 300)}, {body, at(0, 0, 100)}, {body, at(50, 0, 50)}};
  const auto hits = shoot(RayScene(bodies), {Ray{{0, 1, 0}, {0, 0, 1}}, Ray{{0, 1, 200}, {0, 0, 1}},
                                             Ray{{50, 1, 0}, {0, 0, 1}}, Ray{{0, 100, 0}, {0, 0, 1}}});
  CHECK(hits[0].body == 1U);
  CHECK(hits[1].body == 0U);
  CHECK(hits[2].body == 2U);
  CHECK_FALSE(hits[3].body);
}

TEST_CASE("Nothing to hit is no hit, and no rays are no error") {
  const RayScene empty{std::span<const PlacedRayBody>()};
  CHECK_FALSE(shoot(empty, {Ray{{0, 0, 0}, {0, 0, 1}}})[0].body);
  CHECK(shoot(empty, {}).empty());
  std::vector<Hit> too_few;
  const std::vector<Ray> one(1, Ray{{0, 0, 0}, {0, 0, 1}});
  CHECK_THROWS_AS(empty.first_hits(one, too_few), std::invalid_argument);
}

TEST_CASE("A scene outlives the list and the handles that it was made of") {
  std::optional<RayScene> scene;
  {
    const std::vector<PlacedRayBody> bodies = {{make_ray_body(box_mesh({10, 10, 10})), at(0, 0, 100)}};
    scene.emplace(bodies);
  }
  RayScene moved = std::move(*scene);
  CHECK(shoot(moved, {Ray{{1, 2, 0}, {0, 0, 1}}})[0].body == 0U);
}

TEST_CASE("Random rays at a box placed at random, against the closed form") {
  const Vector3d size(80, 120, 50);
  random_geometry::Engine engine(15);
  const Pose box_in_world = random_geometry::pose(engine, 500);
  const std::vector<PlacedRayBody> bodies = {{make_ray_body(box_mesh(size)), box_in_world}};
  std::vector<Ray> rays, rays_in_box;
  for (int i = 0; i < 20003; ++i) {  // not a multiple of 16
    const Vector3d from = 600 * random_geometry::direction(engine);
    const Vector3d to = random_geometry::point_in_cube(engine, 90);
    rays_in_box.push_back({from, to - from});
    rays.push_back({box_in_world * from, box_in_world.linear() * (to - from)});
  }
  const auto hits = shoot(RayScene(bodies), rays);
  int met = 0;
  for (std::size_t i = 0; i < rays.size(); ++i) {
    const double expected = entry_into_box(size, rays_in_box[i]);
    const double wider = entry_into_box(size + Vector3d::Constant(0.02), rays_in_box[i]);
    const double narrower = entry_into_box(size - Vector3d::Constant(0.02), rays_in_box[i]);
    if (std::isinf(wider) != std::isinf(narrower)) continue;  // grazes an edge
    REQUIRE((hits[i].body == 0U) == std::isfinite(expected));
    if (hits[i].body != 0U) continue;
    REQUIRE(hits[i].along * rays[i].direction.norm() == Approx(expected * rays[i].direction.norm()).margin(0.01));
    REQUIRE(hits[i].normal.dot(rays[i].direction) < 0);
    ++met;
  }
  CHECK(met > 5000);
}

TEST_CASE("Random rays at a ball and a rod, against every triangle in double") {
  random_geometry::Engine engine(16);
  const std::vector<Mesh> meshes = {sphere_mesh(4), cylinder_mesh(3, 60)};
  std::vector<PlacedRayBody> bodies;
  for (const Mesh& mesh : meshes) bodies.push_back({make_ray_body(mesh), random_geometry::pose(engine, 10)});
  std::vector<Ray> rays;
  for (int i = 0; i < 3000; ++i) {
    const Vector3d from = 200 * random_geometry::direction(engine);
    rays.push_back({from, (random_geometry::point_in_cube(engine, 20) - from).normalized()});
  }
  const auto hits = shoot(RayScene(bodies), rays);
  int met = 0;
  for (std::size_t i = 0; i < rays.size(); ++i) {
    double nearest_along = infinity;
    std::optional<std::size_t> nearest_body;
    bool grazes = false;
    for (std::size_t b = 0; b < bodies.size(); ++b)
      for (const auto& [p, q, r] : meshes[b].triangles) {
        const auto placed = [&](std::uint32_t v) { return Vector3d(bodies[b].in_world * meshes[b].vertices[v]); };
        const Vector3d a = placed(p), ab = placed(q), ac = placed(r);
        const TriangleHit hit = through_triangle(a, ab, ac, rays[i]);
        const Vector3d normal = (ab - a).cross(ac - a).normalized();
        grazes = grazes || (std::isfinite(hit.along) && std::abs(normal.dot(rays[i].direction)) < 0.02);
        if (hit.along < nearest_along) nearest_along = hit.along, nearest_body = b;
      }
    if (grazes) continue;
    if (!nearest_body && hits[i].body) {  // over the border of a silhouette by rounding
      REQUIRE(std::abs(hits[i].normal.normalized().dot(rays[i].direction)) < 0.1);
      continue;
    }
    REQUIRE(hits[i].body == nearest_body);
    if (!nearest_body) continue;
    REQUIRE(hits[i].along == Approx(nearest_along).margin(0.01));
    ++met;
  }
  CHECK(met > 300);
}

TEST_CASE("Rays a little off exact vertices do not slip through a closed ball") {
  random_geometry::Engine engine(17);
  const Mesh ball = sphere_mesh(50);
  const std::vector<PlacedRayBody> bodies = {{make_ray_body(ball), at(0, 0, 400)}};
  std::vector<Ray> rays;
  for (const Vector3d& vertex : ball.vertices) {
    const Vector3d target = 0.95 * vertex + Vector3d(0, 0, 400);  // off the silhouette
    rays.push_back({Vector3d::Zero(), target + random_geometry::point_in_cube(engine, 0.01)});
  }
  int missed = 0;
  for (const Hit& hit : shoot(RayScene(bodies), rays)) missed += hit.body != 0U;
  CHECK(missed == 0);
}

TEST_CASE("The same answer for rays in any company") {
  random_geometry::Engine engine(18);
  const std::vector<PlacedRayBody> bodies = {{make_ray_body(sphere_mesh(30)), at(0, 0, 100)}};
  const RayScene scene(bodies);
  std::vector<Ray> rays;
  for (int i = 0; i < 1000; ++i)
    rays.push_back({{0, 0, 0}, random_geometry::point_in_cube(engine, 40) + Vector3d(0, 0, 100)});
  const auto together = shoot(scene, rays);
  for (std::size_t i = 0; i < rays.size(); ++i) {
    const auto alone = shoot(scene, {rays[i]});
    REQUIRE(alone[0].body == together[i].body);
    REQUIRE(alone[0].along == together[i].along);
  }
}
