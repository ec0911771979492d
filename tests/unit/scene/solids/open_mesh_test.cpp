// SPDX-License-Identifier: GPL-3.0-or-later
// What lies inside a mesh with holes. A point of which more than half of all directions meet the surface of a convex
// body lies inside it: held against closed forms of solid angles, and against rays shot at random in long double.
#include "scene/solids/open_mesh.hpp"

#include <cmath>
#include <cstdlib>

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/weld.hpp"
#include "scene/solids/containment.hpp"
#include "tests/support/mesh_files.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;
using test::inside_out;
using test::shifted;
using test::together;

namespace {

long cases(long whole) {
  return std::getenv("CELLPROOF_LONG") != nullptr ? whole : whole / 10;
}

void add_rectangle(std::vector<Vector3d>& corners, const Vector3d& at, const Vector3d& u, const Vector3d& v) {
  for (const Vector3d& corner :
       {at, Vector3d(at + u), Vector3d(at + u + v), at, Vector3d(at + u + v), Vector3d(at + v)})
    corners.push_back(corner);
}

/// A cube of side 2 about the origin of whose top a strip is missing that is `share` of it, along its +x side.
Mesh holed_cube(double share) {
  const Vector3d x(2, 0, 0), y(0, 2, 0), z(0, 0, 2), low(-1, -1, -1);
  std::vector<Vector3d> corners;
  add_rectangle(corners, low, y, x);
  add_rectangle(corners, low, x, z);
  add_rectangle(corners, low, z, y);
  add_rectangle(corners, low + y, z, x);
  add_rectangle(corners, low + x, y, z);
  if (share < 1) add_rectangle(corners, low + z, (1 - share) * x, y);
  return weld(corners).mesh;
}

/// Of a rectangle in the plane z = h over the origin, seen from the origin: the sum of atan(xy / hr) over its corners.
double solid_angle(double x0, double x1, double y0, double y1, double h) {
  const auto to = [h](double x, double y) { return std::atan(x * y / (h * std::sqrt(x * x + y * y + h * h))); };
  return to(x1, y1) - to(x0, y1) - to(x1, y0) + to(x0, y0);
}

/// How much of all directions from a point in the cube meets it.
double share_seen(const Vector3d& p, double share) {
  return 1 - solid_angle(1 - 2 * share - p.x(), 1 - p.x(), -1 - p.y(), 1 - p.y(), 1 - p.z()) / (4 * pi);
}

Within where(const Mesh& mesh, const Vector3d& point) {
  return where_lies(Solid(mesh), point);
}

/// Flips some triangles, adds some twice and some the other way round as well.
Mesh spoilt(Mesh mesh, random_geometry::Engine& engine) {
  const std::size_t count = mesh.triangles.size();
  for (std::size_t t = 0; t < count; ++t) {
    if (engine() % 5 == 0) std::swap(mesh.triangles[t][0], mesh.triangles[t][1]);
    const auto [a, b, c] = mesh.triangles[t];
    if (engine() % 7 == 0) mesh.triangles.push_back({b, c, a});
    if (engine() % 9 == 0) mesh.triangles.push_back({c, b, a});
  }
  return mesh;
}

/// Closed, convex, about the origin, its half axes 3, 2 and 1.
Mesh egg(int rings, int sides) {
  const auto at = [&](int ring, int side) {
    const double low = pi * ring / rings, round = 2 * pi * (side % sides) / sides;
    const double out = ring == 0 || ring == rings ? 0 : std::sin(low);
    return Vector3d(3 * out * std::cos(round), 2 * out * std::sin(round), std::cos(low));
  };
  std::vector<Vector3d> corners;
  for (int ring = 0; ring < rings; ++ring)
    for (int side = 0; side < sides; ++side)
      for (const Vector3d& corner : {at(ring, side), at(ring + 1, side), at(ring + 1, side + 1), at(ring, side),
                                     at(ring + 1, side + 1), at(ring, side + 1)})
        corners.push_back(corner);
  return weld(corners).mesh;
}

/// The share of directions in which a ray in long double meets the surface an odd number of times.
double share_of_rays(const Mesh& mesh, const Vector3d& from, random_geometry::Engine& engine, int rays) {
  using Real = long double;
  using Vector = Eigen::Matrix<Real, 3, 1>;
  int met = 0;
  for (int i = 0; i < rays; ++i) {
    const Vector way = random_geometry::direction(engine).cast<Real>();
    bool odd = false;
    for (const auto& [a, b, c] : mesh.triangles) {
      const Vector p = (mesh.vertices[a] - from).cast<Real>(), q = (mesh.vertices[b] - from).cast<Real>(),
                   r = (mesh.vertices[c] - from).cast<Real>();
      const Real turn = p.dot(q.cross(r)) > 0 ? 1 : -1;  // either way round
      if (turn * way.dot(q.cross(r)) > 0 && turn * way.dot(r.cross(p)) > 0 && turn * way.dot(p.cross(q)) > 0)
        odd = !odd;
    }
    met += odd;
  }
  return static_cast<double>(met) / rays;
}

}  // namespace

TEST_CASE("In a cube with a hole in its top lies what sees more cube than hole, in closed form") {
  random_geometry::Engine engine(71);
  for (long i = 0; i < cases(20000); ++i) {
    const double share = random_geometry::between(engine, 0.02, 0.66);  // of a face; a sixth of that of the whole cube
    const Solid cube(holed_cube(share));
    Vector3d point = random_geometry::point_in_cube(engine, 0.999);
    if (i % 2 == 0)
      point = {random_geometry::between(engine, 1 - 2 * share, 1), point.y(), 1 - 0.3 * std::abs(point.z())};
    CAPTURE(share, point.transpose());
    REQUIRE(share_seen(point, share) > 0.5);  // as any hole in a plane lets it
    REQUIRE(where_lies(cube, point) == (share / 6 < sheet_share ? Within::inside : Within::sheet));
    point.z() = 2 - point.z();
    REQUIRE(where_lies(cube, point) == Within::outside);
  }
}

TEST_CASE("In front of the hole and beside the cube nothing lies inside") {
  const Solid cube(holed_cube(0.5));
  for (const Vector3d& point :
       {Vector3d(0.5, 0, 1.0001), Vector3d(0.5, 0, 3), Vector3d(3, 0, 0), Vector3d(0, 0, -1.001)})
    CHECK(where_lies(cube, point) == Within::outside);
}

TEST_CASE("A ball with a cap cut off has its middle inside while the cap is less than half of the sphere") {
  // A cap of the half angle t takes (1 - cos t) / 2 of all directions (elementary).
  for (const double part : {0.02, 0.05, 0.08, 0.2, 0.45, 0.55, 0.9}) {
    Mesh ball = sphere_mesh(100);
    const double height = 100 * (1 - 2 * part);
    std::erase_if(ball.triangles, [&](const Triangle& t) {
      return (ball.vertices[t[0]].z() + ball.vertices[t[1]].z() + ball.vertices[t[2]].z()) / 3 > height;
    });
    CAPTURE(part);
    const Within found = where(ball, Vector3d(1e-3, 2e-3, 0));
    // The flat cap's share of the closed surface: sin² t over that and 4 (1 - part).
    const double cap = 4 * part * (1 - part), missing = cap / (cap + 4 * (1 - part));
    CHECK(found == (part > 0.5 ? Within::outside : missing < sheet_share ? Within::inside : Within::sheet));
  }
}

TEST_CASE("Holes of any shape, faces turned round, there twice or both ways: as rays at random have it") {
  random_geometry::Engine engine(72);
  long inside = 0;
  for (long i = 0; i < cases(400); ++i) {
    Mesh ball = egg(8 + static_cast<int>(i % 3), 14);
    const Vector3d middle = random_geometry::direction(engine).cwiseProduct(Vector3d(3, 2, 1));
    const double radius = random_geometry::between(engine, 0.1, 1.6);
    std::erase_if(ball.triangles, [&](const Triangle& t) { return (ball.vertices[t[0]] - middle).norm() < radius; });
    const Vector3d point = random_geometry::point_in_cube(engine, 1).cwiseProduct(Vector3d(2.6, 1.8, 0.9));
    const double seen = share_of_rays(ball, point, engine, 3000);
    if (std::abs(seen - 0.5) < 0.04) continue;  // four standard deviations of the rays
    const Solid as_it_is(ball);
    if (!as_it_is.open()) continue;
    const Within found = where_lies(as_it_is, point);
    CAPTURE(i, seen, point.transpose());
    if (seen > 0.5) CHECK(found == (is_sheet(as_it_is.open()->shells[0]) ? Within::sheet : Within::inside));
    if (seen < 0.5) CHECK(found == Within::outside);
    CHECK(where(inside_out(ball), point) == found);
    CHECK(where(spoilt(ball, engine), point) == found);
    inside += found == Within::inside;
  }
  CHECK(inside > cases(400) / 20);
}

TEST_CASE("A cube whose wall is missing is a sheet, one that lacks a triangle is a solid") {
  CHECK(where(holed_cube(1), {0, 0, 0}) == Within::sheet);
  Mesh torn = holed_cube(0.999999);
  torn.triangles.pop_back();
  CHECK(where(torn, {0, 0, 0}) == Within::sheet);
  Mesh cube = box_mesh({2, 2, 2});
  cube.triangles.pop_back();
  CHECK(Solid(cube).open()->shells[0].missing_share == Approx(2.0 / 24));
  CHECK(where(cube, {0, 0, 0}) == Within::inside);
}

TEST_CASE("A solid in a sheet's file stays a solid, and a cavity in an open solid stays free") {
  const Mesh room = holed_cube(1);
  Mesh post = box_mesh({0.2, 0.2, 0.2});
  const Mesh both = together({room, shifted(post, {0.5, 0, 0})});
  CHECK(where(both, {0.5, 0, 0}) == Within::inside);
  CHECK(where(both, {-0.5, 0, 0}) == Within::sheet);
  const Mesh hollow = together({holed_cube(0.1), inside_out(box_mesh({1, 1, 1}))});
  CHECK(where(hollow, {0.1, 0, 0}) == Within::outside);
  CHECK(where(hollow, {0.8, 0, 0}) == Within::inside);
  CHECK(where(together({inside_out(holed_cube(0.1)), post}), {0.02, 0, 0.01}) == Within::inside);
}

TEST_CASE("Six faces that only lie beside each other, and ones whose corners do not fit, surround what a cube does") {
  // given faces of two triangles each that share no corner, and the same with one face cut into strips
  std::vector<Vector3d> corners;
  const Vector3d x(2, 0, 0), y(0, 2, 0), z(0, 0, 2), low(-1, -1, -1);
  add_rectangle(corners, low, y, x);
  add_rectangle(corners, low, x, z);
  add_rectangle(corners, low, z, y);
  add_rectangle(corners, low + y, z, x);
  add_rectangle(corners, low + x, y, z);
  for (int strip = 0; strip < 3; ++strip) add_rectangle(corners, low + z + strip / 3.0 * x, x / 3, y);
  const Mesh fitted = weld(corners).mesh;
  CHECK(where(fitted, {0.1, 0.2, 0.3}) == Within::inside);
  CHECK(where(fitted, {0.1, 0.2, 1.01}) == Within::outside);
  for (std::size_t i = 0; i < corners.size(); ++i)
    corners[i] += 1e-4 * static_cast<double>(std::min<std::size_t>(i / 6, 5)) * Vector3d(1, 1, 1);
  const Mesh apart = weld(corners).mesh;
  CHECK(shells(apart).count == 6);
  CHECK(where(apart, {0.1, 0.2, 0.3}) == Within::inside);
  CHECK(where(apart, {0.1, 0.2, -1.01}) == Within::outside);
}

TEST_CASE("A body in a box with a hole is contained, whichever is named first, but not in a sheet") {
  const Solid box(holed_cube(0.3)), room(holed_cube(1)), ball(sphere_mesh(0.1));
  const Pose here = Pose::Identity();
  Pose beside = here;
  beside.translation() = Vector3d(3, 0, 0);
  CHECK(contains_part_of(box, here, ball, here));
  CHECK(contains_part_of(ball, here, box, here));
  CHECK_FALSE(contains_part_of(box, here, ball, beside));
  CHECK_FALSE(contains_part_of(room, here, ball, here));
  CHECK(where_shells_lie(room, ball, here) == Within::sheet);
}
