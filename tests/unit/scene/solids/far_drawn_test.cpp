// SPDX-License-Identifier: GPL-3.0-or-later
// Meshes drawn up to 1000 km off their own origin and placed back: distances held against ones in long double.
#include <cstdlib>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/solids/containment.hpp"
#include "scene/solids/distance.hpp"
#include "scene/solids/rays.hpp"
#include "scene/solids/search_tree.hpp"
#include "scene/solids/surface_distance.hpp"
#include "tests/support/random_geometry.hpp"
#include "tests/support/triangle_oracle.hpp"

using namespace cellproof;

namespace {

/// A box drawn far off, and the pose that brings it back to near the world's origin.
struct FarBox {
  Mesh mesh;
  Pose in_world;
};

FarBox far_box(random_geometry::Engine& engine, double off, const Vector3d& size, double reach) {
  FarBox box{box_mesh(size), random_geometry::pose(engine, reach)};
  const Vector3d away = off * random_geometry::direction(engine);
  for (Vector3d& vertex : box.mesh.vertices) vertex += away;
  box.in_world.translation() -= box.in_world.linear() * away;
  return box;
}

double apart(const std::vector<oracle::Facet>& a, const std::vector<oracle::Facet>& b) {
  oracle::Real least = std::numeric_limits<oracle::Real>::infinity();
  for (const auto& of_a : a)
    for (const auto& of_b : b) least = std::min(least, oracle::distance(of_a, of_b));
  return static_cast<double>(least);
}

long cases(long whole) {
  return std::getenv("CELLPROOF_LONG") != nullptr ? whole : whole / 10;
}

}  // namespace

TEST_CASE("Boxes drawn far off and placed back are as far apart as they are, within what is booked") {
  random_geometry::Engine engine(81);
  for (const double off : {0.0, 1e3, 1e5, 1e7, 1e9})
    for (long i = 0; i < cases(200); ++i) {
      const FarBox a = far_box(engine, off, {40, 20, 10}, 60),
                   b = far_box(engine, i % 2 == 0 ? off : 0, {30, 30, 5}, 60);
      const auto truth = apart(oracle::facets(a.mesh, a.in_world), oracle::facets(b.mesh, b.in_world));
      const Solid solid_a(a.mesh), solid_b(b.mesh);
      const Nearest found = nearest(solid_a, a.in_world, solid_b, b.in_world, 1000);
      CAPTURE(off, i, truth, found.distance);
      if (truth < 1e-3) continue;  // may touch
      const double booked = solid_a.mesh().deviation.outside + solid_b.mesh().deviation.outside + 1e-6;
      CHECK(found.distance - booked <= truth);
      CHECK(found.distance + booked >= truth);
      CHECK(booked < 1e-3);
      // a cap does not cut off what is nearer
      CHECK(nearest(solid_a, a.in_world, solid_b, b.in_world, truth + 2 * booked).within_cap);
    }
}

TEST_CASE("A moving box drawn far off keeps the distance that is proven") {
  random_geometry::Engine engine(82);
  for (const double off : {0.0, 1e7, 1e9})
    for (long i = 0; i < cases(60); ++i) {
      const FarBox a = far_box(engine, off, {40, 20, 10}, 60), b = far_box(engine, off, {30, 30, 5}, 60);
      RelativeMotion motion;
      motion.velocity = random_geometry::point_in_cube(engine, 20);
      motion.turning = random_geometry::point_in_cube(engine, 0.2);
      motion.about = random_geometry::point_in_cube(engine, 50);
      motion.half = 0.5;
      const Solid solid_a(a.mesh), solid_b(b.mesh);
      const NearestOver over = nearest_over(solid_a, a.in_world, solid_b, b.in_world, motion, 1000);
      const double booked = solid_a.mesh().deviation.outside + solid_b.mesh().deviation.outside + 1e-6;
      for (int k = 0; k <= 4; ++k) {
        const double u = motion.half * (k - 2) / 2.0;
        // p + u (v + w x (p - about)), about the box's middle in long double
        auto facets = oracle::facets(a.mesh, a.in_world);
        for (auto& facet : facets)
          for (auto& p : facet)
            p += (u * (motion.velocity.cast<long double>() +
                       motion.turning.cast<long double>().cross(p - motion.about.cast<long double>())))
                     .eval();
        const double truth = apart(facets, oracle::facets(b.mesh, b.in_world));
        CAPTURE(off, i, k, truth, over.lower_mm);
        CHECK(over.lower_mm - booked <= truth);
      }
    }
}

TEST_CASE("The search among triangles drawn far off is as short as near by: it is about them") {
  Mesh ball = sphere_mesh(50);
  CHECK(Solid(ball).tree().origin == Vector3d::Zero());
  for (Vector3d& vertex : ball.vertices) vertex += Vector3d(3e8, -7e8, 1e3);
  const Solid far(ball);
  CHECK((far.tree().origin - Vector3d(3e8, -7e8, 1e3)).cwiseAbs().maxCoeff() <= 400);
  CHECK(far.tree().extent < 1000);
  const double booked = far.mesh().deviation.outside - ball.deviation.outside;
  CHECK(booked > 1e-4);
  CHECK(booked < 1e-3);
}

TEST_CASE("What is inside, how deep, and what a ray meets are found far off as near by") {
  const Vector3d away(2e8, 5e8, -9e8);
  Mesh mesh = box_mesh({100, 100, 100});
  for (Vector3d& vertex : mesh.vertices) vertex += away;
  const Solid box(mesh);
  CHECK(lies_inside(box, away + Vector3d(49, 0, 0)));
  CHECK_FALSE(lies_inside(box, away + Vector3d(51, 0, 0)));
  CHECK(distance_to_surface(box, away + Vector3d(20, 10, 0)) == Approx(30).margin(1e-6));
  const SurfacePlace place = nearest_place(box, away + Vector3d(80, 3, 4));
  CHECK(place.mm == Approx(30).margin(1e-6));
  for (const Vector3d& corner : place.triangle) CHECK(corner.x() == away.x() + 50);
  mesh.triangles.pop_back();
  CHECK(where_lies(Solid(mesh), away + Vector3d(1, 2, 3)) == Within::inside);

  PlacedRayBody seen{make_ray_body(mesh)};
  seen.in_world.translation() = -away + Vector3d(0, 0, 300);
  const RayScene scene(std::span(&seen, 1));
  const std::array<Ray, 2> rays = {Ray{{10, 20, 0}, {0, 0, 1}}, Ray{{51, 0, 0}, {0, 0, 1}}};
  std::array<Hit, 2> hits;
  scene.first_hits(rays, hits);
  CHECK(hits[0].along == Approx(250).margin(1e-3));
  CHECK_FALSE(hits[1].body);
}
