// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/triangle_distance.hpp"

#include <catch2/catch.hpp>

#include "tests/support/random_geometry.hpp"
#include "tests/support/triangle_oracle.hpp"

using namespace cellproof;

namespace {

constexpr double no_limit = std::numeric_limits<double>::infinity();

double by_oracle(const Corners& a, const Corners& b) {
  const auto facet = [](const Corners& c) {
    return oracle::Facet{c[0].cast<long double>(), c[1].cast<long double>(), c[2].cast<long double>()};
  };
  return static_cast<double>(oracle::distance(facet(a), facet(b)));
}

Corners random_triangle(random_geometry::Engine& engine, double half) {
  const Vector3d a = random_geometry::point_in_cube(engine, half), b = random_geometry::point_in_cube(engine, half);
  return {a, b, random_geometry::point_in_cube(engine, half)};
}

void check_against_oracle(const Corners& a, const Corners& b, double tolerance) {
  const TriangleGap gap = triangle_gap(a, b, no_limit);
  const double expected = by_oracle(a, b);
  REQUIRE(std::sqrt(gap.squared) == Approx(expected).margin(tolerance));
  REQUIRE((gap.point_a - gap.point_b).norm() == Approx(expected).margin(tolerance));
  REQUIRE(by_oracle(a, {gap.point_a, gap.point_a, gap.point_a}) < tolerance);
  REQUIRE(by_oracle(b, {gap.point_b, gap.point_b, gap.point_b}) < tolerance);
}

}  // namespace

TEST_CASE("Random triangles, apart and crossing, as the oracle says") {
  random_geometry::Engine engine(6);
  int crossing = 0;
  for (int i = 0; i < 5000; ++i) {
    const Corners a = random_triangle(engine, 10), b = random_triangle(engine, i % 2 ? 10 : 3);
    check_against_oracle(a, b, 1e-11);
    crossing += triangle_gap(a, b, no_limit).squared == 0;
  }
  CHECK(crossing > 500);
}

TEST_CASE("Triangles with corners on a small lattice: parallel, touching, coplanar and without area") {
  random_geometry::Engine engine(7);
  const auto corner = [&] {
    const auto whole = [&] { return static_cast<double>(engine() % 3); };
    const double x = whole(), y = whole();
    return Vector3d(x, y, whole());
  };
  for (int i = 0; i < 10000; ++i) {
    const Corners a{corner(), corner(), corner()}, b{corner(), corner(), corner()};
    check_against_oracle(a, b, 1e-12);
  }
}

TEST_CASE("The same lattice turned and moved, so that nothing is quite parallel any more") {
  random_geometry::Engine engine(8);
  for (int i = 0; i < 5000; ++i) {
    const Pose turn = random_geometry::pose(engine, 1000);
    const auto corner = [&] {
      const auto whole = [&] { return static_cast<double>(engine() % 3); };
      const double x = whole(), y = whole();
      return Vector3d(turn * Vector3d(x, y, whole()));
    };
    const Corners a{corner(), corner(), corner()}, b{corner(), corner(), corner()};
    check_against_oracle(a, b, 1e-10);
  }
}

TEST_CASE("Slivers a metre long and a ten-thousandth wide") {
  random_geometry::Engine engine(9);
  const auto sliver = [&] {
    const Vector3d a = random_geometry::point_in_cube(engine, 500), b = random_geometry::point_in_cube(engine, 500);
    const Vector3d c = a + random_geometry::between(engine, 0, 1) * (b - a) + 1e-4 * random_geometry::direction(engine);
    return Corners{a, b, c};
  };
  for (int i = 0; i < 3000; ++i) check_against_oracle(sliver(), sliver(), 1e-6);
}

TEST_CASE("A limit that is not undercut gives nothing, and one that is gives the gap") {
  const Corners a{Vector3d(0, 0, 0), Vector3d(1, 0, 0), Vector3d(0, 1, 0)};
  const Corners b{Vector3d(0, 0, 2), Vector3d(1, 0, 2), Vector3d(0, 1, 2)};
  CHECK(triangle_gap(a, b, 4.01).squared == Approx(4));
  CHECK(std::isinf(triangle_gap(a, b, 4).squared));
  CHECK(std::isnan(triangle_gap(a, b, 4).point_a.x()));
}

TEST_CASE("Touching triangles that a test by separating slabs calls apart") {
  // given pairs for which FCL 0.7's triangle test answers 0.1195, 0.4082, 0.3333 and 0.1961 (derived: run here)
  const std::vector<std::pair<Corners, Corners>> pairs = {
      {{Vector3d(2, 0, 3), {0, 3, 3}, {1, 0, 0}}, {Vector3d(1, 1, 3), {0, 1, 0}, {1, 1, 2}}},
      {{Vector3d(0, 0, 3), {1, 2, 0}, {2, 2, 1}}, {Vector3d(1, 3, 1), {1, 1, 3}, {3, 2, 0}}},
      {{Vector3d(1, 2, 2), {1, 3, 1}, {1, 1, 2}}, {Vector3d(0, 0, 2), {0, 2, 0}, {3, 2, 3}}},
      {{Vector3d(0, 3, 3), {1, 1, 2}, {1, 2, 2}}, {Vector3d(0, 3, 2), {3, 1, 3}, {0, 2, 1}}}};
  for (const auto& [a, b] : pairs) {
    CHECK(by_oracle(a, b) < 1e-15);
    CHECK(std::sqrt(triangle_gap(a, b, no_limit).squared) < 1e-15);
    CHECK(std::sqrt(triangle_gap(b, a, no_limit).squared) < 1e-15);
  }
}
