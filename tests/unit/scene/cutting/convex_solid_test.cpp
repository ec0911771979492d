// SPDX-License-Identifier: GPL-3.0-or-later
// Least convex solids around points, against what they must be.
#include "scene/cutting/convex_solid.hpp"

#include <random>

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

std::vector<Vector3d> cube_corners(double side) {
  std::vector<Vector3d> points;
  for (const double x : {-side / 2, side / 2})
    for (const double y : {-side / 2, side / 2})
      for (const double z : {-side / 2, side / 2}) points.emplace_back(x, y, z);
  return points;
}

std::vector<Vector3d> random_points(std::mt19937& random, int count) {
  std::normal_distribution<double> spread(0, 30);
  std::vector<Vector3d> points;
  for (int i = 0; i < count; ++i) points.emplace_back(spread(random), spread(random), spread(random));
  return points;
}

}  // namespace

TEST_CASE("the hull of a cube's corners and of points in it and on its faces is the cube") {
  auto points = cube_corners(10);
  points.insert(points.begin(), {{0, 0, 0}, {5, 0, 0}, {5, 5, 0}, {1, 2, 5}, {-5, -5, -5}});
  const auto hull = convex_hull(points);
  REQUIRE(hull);
  CHECK(hull->points.size() == 8);
  CHECK(hull->faces.size() == 6);
  for (const auto& face : hull->faces) CHECK(face.size() == 4);
  const Mesh mesh = mesh_of(*hull);
  CHECK(closedness(mesh).closed);
  CHECK(solid_properties(mesh).volume == Approx(1000).epsilon(1e-14));
}

TEST_CASE("points in one plane, on one line or in one place have no hull") {
  CHECK_FALSE(convex_hull({}));
  CHECK_FALSE(convex_hull({{1, 2, 3}, {1, 2, 3}}));
  CHECK_FALSE(convex_hull({{0, 0, 0}, {1, 1, 1}, {5, 5, 5}, {2, 2, 2}}));
  CHECK_FALSE(convex_hull({{0, 0, 1}, {9, 0, 1}, {9, 7, 1}, {0, 7, 1}, {3, 3, 1}}));
}

TEST_CASE("a turned prism of many sides keeps its plane faces whole") {
  const int sides = 64;
  const Pose pose(Eigen::Translation3d(300, -20, 77) * Eigen::AngleAxisd(0.7, Vector3d(1, 2, 3).normalized()));
  std::vector<Vector3d> points;
  for (int i = 0; i < sides; ++i)
    for (const double z : {0.0, 25.0})
      points.emplace_back(pose * Vector3d(8 * std::cos(2 * pi * i / sides), 8 * std::sin(2 * pi * i / sides), z));
  const auto hull = convex_hull(points);
  REQUIRE(hull);
  CHECK(hull->points.size() == 2 * sides);
  CHECK(hull->faces.size() == sides + 2);
  // area of a regular polygon: n r^2 sin(2 pi / n) / 2 (elementary)
  const double area = sides * 64 * std::sin(2 * pi / sides) / 2;
  CHECK(solid_properties(mesh_of(*hull)).volume == Approx(25 * area).epsilon(1e-12));
}

TEST_CASE("the hull of random points is closed and convex, holds them all and has corners among them only") {
  std::mt19937 random(20250);
  for (int round = 0; round < 100; ++round) {
    const auto points = random_points(random, 4 + 3 * round);
    const auto hull = convex_hull(points);
    REQUIRE(hull);
    const Mesh mesh = mesh_of(*hull);
    CHECK(closedness(mesh).closed);
    CHECK(shells(mesh).count == 1);
    for (const HalfSpace& space : half_spaces(*hull))
      for (const Vector3d& point : points) CHECK(space.normal.dot(point) <= space.offset + 1e-9);
    for (const Vector3d& corner : hull->points) CHECK(std::find(points.begin(), points.end(), corner) != points.end());
  }
}
