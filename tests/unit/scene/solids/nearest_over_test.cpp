// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "scene/solids/distance.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

constexpr double no_cap = std::numeric_limits<double>::infinity();

Pose at(double x, double y, double z) {
  Pose pose = Pose::Identity();
  pose.translation() = Vector3d(x, y, z);
  return pose;
}

RelativeMotion straight(const Vector3d& velocity, double half) {
  RelativeMotion motion;
  motion.velocity = velocity;
  motion.half = half;
  return motion;
}

/// The mesh in world where the motion has taken it at u; not rigid, as the motion is of first order.
Mesh moved(const Mesh& mesh, const Pose& in_world, const RelativeMotion& motion, double u) {
  Mesh result = mesh;
  for (Vector3d& p : result.vertices) {
    const Vector3d placed = in_world * p;
    p = placed + u * (motion.velocity + motion.turning.cross(placed - motion.about));
  }
  return result;
}

/// The least distance at evenly spaced instants, from both ends on.
double least_at_instants(const Solid& a, const Pose& pa, const Solid& b, const Pose& pb, const RelativeMotion& motion,
                         int instants) {
  double least = no_cap;
  for (int i = 0; i < instants; ++i) {
    const double u = motion.half * (2.0 * i / (instants - 1) - 1);
    const Solid there(moved(a.mesh(), pa, motion, u));
    least = std::min(least, nearest(there, Pose::Identity(), b, pb, no_cap).distance);
  }
  return least;
}

RelativeMotion any_motion(random_geometry::Engine& engine, double size) {
  RelativeMotion motion;
  motion.velocity = random_geometry::point_in_cube(engine, size);
  motion.turning = random_geometry::point_in_cube(engine, random_geometry::between(engine, 0, 1));
  motion.about = random_geometry::point_in_cube(engine, 2 * size);
  motion.half = random_geometry::between(engine, 0, 0.5);
  return motion;
}

Mesh soup(random_geometry::Engine& engine) {
  std::vector<Vector3d> corners;
  for (int i = 0; i < 40; ++i) {
    const Vector3d middle = random_geometry::point_in_cube(engine, 30);
    for (int k = 0; k < 3; ++k) corners.push_back(middle + random_geometry::point_in_cube(engine, 6));
  }
  return weld(corners).mesh;
}

}  // namespace

TEST_CASE("A slide along a wall keeps its gap, however long") {
  const Solid box(box_mesh({40, 40, 40})), wall(box_mesh({2000, 2000, 10}));
  const NearestOver found =
      nearest_over(box, at(3, 5, 5 + 20 + 7), wall, Pose::Identity(), straight({500, 200, 0}, 0.5), no_cap);
  CHECK(found.middle.distance == Approx(7));
  CHECK(found.lower_mm == Approx(7).margin(1e-9));
}

TEST_CASE("A ball sliding along a wall keeps nearly its gap") {
  const Solid ball(sphere_mesh(20)), wall(box_mesh({2000, 2000, 10}));
  const NearestOver found =
      nearest_over(ball, at(3, 5, 5 + 20 + 7), wall, Pose::Identity(), straight({500, 0, 0}, 0.5), no_cap);
  CHECK(found.lower_mm == Approx(found.middle.distance).margin(1e-9));
}

TEST_CASE("A straight approach loses its travel, and not more") {
  const Solid box(box_mesh({40, 40, 40})), wall(box_mesh({2000, 2000, 10}));
  const Pose above = at(3, 5, 5 + 20 + 7);
  CHECK(nearest_over(box, above, wall, Pose::Identity(), straight({0, 0, -3}, 0.5), no_cap).lower_mm == Approx(5.5));
  CHECK(nearest_over(box, above, wall, Pose::Identity(), straight({0, 0, -30}, 0.5), no_cap).lower_mm == 0);
}

TEST_CASE("The lower bound is the same with the wall moving the other way") {
  const Solid box(box_mesh({40, 40, 40})), wall(box_mesh({2000, 2000, 10}));
  const Pose above = at(3, 5, 5 + 20 + 7);
  const NearestOver found = nearest_over(wall, Pose::Identity(), box, above, straight({90, 10, 3}, 0.5), no_cap);
  CHECK(found.lower_mm == Approx(5.5));
}

TEST_CASE("Turning about the nearest point's line costs nothing there") {
  const Solid rod(cylinder_mesh(10, 60)), wall(box_mesh({2000, 2000, 10}));
  RelativeMotion motion;
  motion.turning = Vector3d(0, 0, 1);  // about the rod's own axis, which stands on the wall
  motion.half = 0.5;
  const NearestOver found = nearest_over(rod, at(0, 0, 5 + 30 + 4), wall, Pose::Identity(), motion, no_cap);
  CHECK(found.lower_mm == Approx(4).margin(1e-9));
}

TEST_CASE("Strays come off the lower bound") {
  const Solid box(box_mesh({40, 40, 40}));
  RelativeMotion motion = straight({10, 0, 0}, 0.5);
  motion.stray_mm = 0.25;
  CHECK(nearest_over(box, at(0, 0, 50), box, Pose::Identity(), motion, no_cap).lower_mm == Approx(9.75));
}

TEST_CASE("No motion is nearest itself") {
  random_geometry::Engine engine(31);
  for (int i = 0; i < 200; ++i) {
    const Solid a(random_geometry::tetrahedron(engine, 10)), b(random_geometry::tetrahedron(engine, 10));
    const Pose pa = random_geometry::pose(engine, 300), pb = pa * random_geometry::pose(engine, 15);
    RelativeMotion motion = any_motion(engine, 10);
    motion.half = 0;
    const double cap = i % 2 ? no_cap : 4;
    const Nearest now = nearest(a, pa, b, pb, cap);
    const NearestOver found = nearest_over(a, pa, b, pb, motion, cap);
    REQUIRE(found.middle.distance == now.distance);
    REQUIRE(found.middle.within_cap == now.within_cap);
    REQUIRE(found.lower_mm == Approx(now.distance).margin(1e-9));
    REQUIRE(found.lower_mm <= now.distance);
  }
}

TEST_CASE("Touching in the middle keeps nothing") {
  const Solid box(box_mesh({10, 10, 10}));
  const NearestOver found = nearest_over(box, at(10, 3, 0), box, Pose::Identity(), straight({0, 1, 0}, 1), no_cap);
  CHECK(found.middle.distance == 0);
  CHECK(found.lower_mm == 0);
}

TEST_CASE("Far apart all the while is the cap") {
  const Solid box(box_mesh({10, 10, 10}));
  const NearestOver found = nearest_over(box, at(200, 0, 0), box, Pose::Identity(), straight({50, 9, 0}, 0.5), 30);
  CHECK_FALSE(found.middle.within_cap);
  CHECK(found.middle.distance == 30);
  CHECK(found.lower_mm == 30);
}

TEST_CASE("Beyond the cap in the middle may come within it") {
  const Solid box(box_mesh({10, 10, 10}));
  const NearestOver found = nearest_over(box, at(50, 0, 0), box, Pose::Identity(), straight({-60, 0, 0}, 0.5), 30);
  CHECK_FALSE(found.middle.within_cap);
  CHECK(found.lower_mm == Approx(10));  // derived: 40 apart, 30 nearer at the end
}

TEST_CASE("Nothing in the interval is nearer than the lower bound, tetrahedra") {
  random_geometry::Engine engine(32);
  int kept = 0;
  for (int i = 0; i < 400; ++i) {
    const double flatness = i % 4 == 0 ? 1e-4 : 1;
    const Solid a(random_geometry::tetrahedron(engine, 10, flatness)), b(random_geometry::tetrahedron(engine, 10));
    const Pose pa = random_geometry::pose(engine, 20), pb = pa * random_geometry::pose(engine, 25);
    const RelativeMotion motion = any_motion(engine, 15);
    const double lower = nearest_over(a, pa, b, pb, motion, no_cap).lower_mm;
    REQUIRE(lower >= 0);
    REQUIRE(least_at_instants(a, pa, b, pb, motion, 51) >= lower - 1e-9);
    kept += lower > 0;
  }
  CHECK(kept > 100);
}

TEST_CASE("Nothing in the interval is nearer than the lower bound, soups of triangles with and without caps") {
  random_geometry::Engine engine(33);
  int kept = 0, capped = 0;
  for (int i = 0; i < 120; ++i) {
    const Solid a(soup(engine)), b(soup(engine));
    const Pose pa = random_geometry::pose(engine, 50);
    Pose pb = random_geometry::pose(engine, 0);
    pb.translation() =
        pa.translation() + random_geometry::between(engine, 60, 120) * random_geometry::direction(engine);
    const RelativeMotion motion = any_motion(engine, 20);
    const double cap = i % 2 ? no_cap : 15;
    const NearestOver found = nearest_over(a, pa, b, pb, motion, cap);
    REQUIRE(found.lower_mm <= found.middle.distance);
    REQUIRE(least_at_instants(a, pa, b, pb, motion, 51) >= found.lower_mm - 1e-9);
    kept += found.lower_mm > 0;
    capped += !found.middle.within_cap;
  }
  CHECK(kept > 20);
  CHECK(capped > 10);
}

TEST_CASE("The lower bound loses at most the motion's whole length") {
  random_geometry::Engine engine(34);
  const Solid a(sphere_mesh(10)), b(sphere_mesh(15));
  for (int i = 0; i < 100; ++i) {
    const Vector3d apart = random_geometry::between(engine, 26, 60) * random_geometry::direction(engine);
    const RelativeMotion motion = straight(random_geometry::point_in_cube(engine, 10), 0.5);
    const NearestOver found = nearest_over(a, at(apart.x(), apart.y(), apart.z()), b, Pose::Identity(), motion, no_cap);
    const double travel = motion.half * motion.velocity.norm();
    REQUIRE(found.lower_mm >= std::max(0.0, found.middle.distance - travel) - 1e-9);
  }
}

TEST_CASE("A motion that is not a number is a bug") {
  const Solid box(box_mesh({10, 10, 10}));
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(nearest_over(box, at(50, 0, 0), box, Pose::Identity(), straight({nan, 0, 0}, 1), 30),
                  std::invalid_argument);
  CHECK_THROWS_AS(nearest_over(box, at(50, 0, 0), box, Pose::Identity(), straight({1, 0, 0}, nan), 30),
                  std::invalid_argument);
}
