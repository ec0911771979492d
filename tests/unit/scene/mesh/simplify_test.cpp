// SPDX-License-Identifier: GPL-3.0-or-later
// Fewer triangles within the distance asked for: measured both ways on dense samples, which share no code with the
// bound.
#include "scene/mesh/simplify.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/mesh/vertex_removal.hpp"
#include "scene/mesh/weld.hpp"
#include "scene/solids/distance.hpp"
#include "scene/solids/surface_distance.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

using Engine = random_geometry::Engine;

double share(Engine& engine) {
  return std::uniform_real_distribution<double>(0, 1)(engine);
}

/// The greatest distance from samples of one mesh, its vertices among them, to another: never more than the true one.
double sampled_distance(const Mesh& from, const Mesh& to, Engine& engine, int samples) {
  const Solid solid(to);
  double farthest = 0;
  for (const Vector3d& vertex : from.vertices) farthest = std::max(farthest, distance_to_surface(solid, vertex));
  for (int i = 0; i < samples; ++i) {
    const Triangle& t = from.triangles[engine() % from.triangles.size()];
    double u = share(engine), v = share(engine);
    if (u + v > 1) u = 1 - u, v = 1 - v;
    const Vector3d &a = from.vertices[t[0]], &b = from.vertices[t[1]], &c = from.vertices[t[2]];
    farthest = std::max(farthest, distance_to_surface(solid, a + u * (b - a) + v * (c - a)));
  }
  return farthest;
}

/// Simplifies and holds the promise against samples both ways.
Mesh checked(const Mesh& mesh, double most, Engine& engine, int samples = 3000) {
  const Mesh thin = simplify(mesh, most);
  CHECK(thin.deviation.outside - mesh.deviation.outside <= most);
  CHECK(thin.deviation.inside - mesh.deviation.inside <= most);
  CHECK(sampled_distance(mesh, thin, engine, samples) <= thin.deviation.outside - mesh.deviation.outside + 1e-9);
  CHECK(sampled_distance(thin, mesh, engine, samples) <= thin.deviation.inside - mesh.deviation.inside + 1e-9);
  CHECK(closedness(thin).open_edges == closedness(mesh).open_edges);
  CHECK(shells(thin).count == shells(mesh).count);
  return thin;
}

/// A sheet of n by n squares, its heights given.
template <class Height>
std::vector<Vector3d> sheet(int n, Height height) {
  std::vector<Vector3d> corners;
  const auto at = [&](int i, int j) { return Vector3d(i, j, height(i, j)); };
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      for (const Vector3d& p : {at(i, j), at(i + 1, j), at(i + 1, j + 1)}) corners.push_back(p);
      for (const Vector3d& p : {at(i, j), at(i + 1, j + 1), at(i, j + 1)}) corners.push_back(p);
    }
  return corners;
}

/// A surface of revolution, closed: a turned part with shoulders and a groove, `around` facets round.
Mesh turned_part(int around) {
  const std::vector<Vector2d> profile = {{0, 0},   {20, 0},  {20, 10}, {12, 10}, {12, 14}, {16, 15},
                                         {16, 30}, {10, 32}, {10, 60}, {9, 61},  {0, 61}};
  std::vector<Vector3d> corners;
  const auto at = [&](std::size_t k, int i) {
    const double angle = 2 * pi * (i % around) / around;
    return Vector3d(profile[k].x() * std::cos(angle), profile[k].x() * std::sin(angle), profile[k].y());
  };
  for (std::size_t k = 0; k + 1 < profile.size(); ++k)
    for (int i = 0; i < around; ++i) {
      for (const Vector3d& p : {at(k, i), at(k, i + 1), at(k + 1, i + 1)}) corners.push_back(p);
      for (const Vector3d& p : {at(k, i), at(k + 1, i + 1), at(k + 1, i)}) corners.push_back(p);
    }
  return weld(corners).mesh;
}

}  // namespace

TEST_CASE("a flat sheet keeps its rim and little else") {
  Engine engine(1);
  // Given a flat sheet of 20 by 20 squares, 800 triangles, with 80 edges round it,
  const Mesh thin = checked(weld(sheet(20, [](int, int) { return 3.0; })).mesh, 0.001, engine);
  // then all that is inside goes; the fewest triangles over 80 points on a rim are 78.
  CHECK(thin.triangles.size() < 100);
  CHECK(thin.triangles.size() >= 78);
  CHECK(surface_area(thin) == Approx(400));
}

TEST_CASE("a box of many triangles becomes one of few, to the last bit") {
  Engine engine(2);
  // Given a box of which each face is cut twelve by twelve: 1728 triangles,
  std::vector<Vector3d> corners;
  for (int axis = 0; axis < 3; ++axis)
    for (const double side : {0.0, 12.0})
      for (const Vector3d& p : sheet(12, [&](int, int) { return side; })) {
        const int x = (axis + 1) % 3, y = (axis + 2) % 3;
        Vector3d q;
        q[x] = p.x(), q[y] = p.y(), q[axis] = p.z();
        corners.push_back(q);
        if (side == 0.0 && corners.size() % 3 == 0) std::swap(corners[corners.size() - 1], corners[corners.size() - 2]);
      }
  const Mesh box = weld(corners).mesh;
  REQUIRE(closedness(box).closed);
  const Mesh thin = checked(box, 0.01, engine);
  // then twelve or a few more are left, with the same volume.
  CHECK(thin.triangles.size() < 30);
  CHECK(solid_properties(thin).volume == Approx(1728).epsilon(1e-6));
}

TEST_CASE("round and turned shapes stray no further than asked, measured both ways") {
  Engine engine(3);
  for (const double most : {0.02, 0.1, 0.5}) {
    CAPTURE(most);
    const Mesh ball = sphere_mesh(30), part = turned_part(360);
    const Mesh thin_ball = checked(ball, most, engine), thin_part = checked(part, most, engine);
    CHECK(thin_part.triangles.size() < part.triangles.size() / 2);
    // A ball's facets already stray 0.02 mm: with no more than that nothing can go. What is strayed is added to it.
    CHECK((thin_ball.triangles.size() < ball.triangles.size()) == (most > 0.05));
    CHECK((thin_ball.deviation.outside > ball.deviation.outside) == (most > 0.05));
  }
}

TEST_CASE("rough surfaces stray no further than asked, measured both ways") {
  Engine engine(4);
  for (int round = 0; round < 12; ++round) {
    CAPTURE(round);
    const double roughness = 0.02 * (1 + round);
    const Mesh rough = weld(sheet(14, [&](int i, int j) {
                         return std::sin(0.5 * i) * std::cos(0.4 * j) + roughness * (share(engine) - 0.5);
                       })).mesh;
    checked(rough, 0.05 + 0.05 * share(engine), engine, 1000);
  }
}

TEST_CASE("steep, folded and random triangles stray no further than asked") {
  Engine engine(5);
  for (int round = 0; round < 20; ++round) {
    CAPTURE(round);
    // Given a ball whose vertices were moved at random, folds and all,
    Mesh lump = sphere_mesh(0.5 + 3 * share(engine));
    const double most = 0.3 * share(engine);
    for (Vector3d& vertex : lump.vertices)
      for (int axis = 0; axis < 3; ++axis) vertex[axis] += 0.2 * (share(engine) - 0.5);
    checked(lump, most + 1e-3, engine, 500);
  }
}

TEST_CASE("a tetrahedron, two triangles and a shared edge of four stay as they are") {
  const Vector3d o(0, 0, 0), x(1, 0, 0), y(0, 1, 0), z(0, 0, 1);
  const Mesh tetrahedron = weld({o, y, x, o, x, z, o, z, y, x, y, z}).mesh;
  CHECK(simplify(tetrahedron, 100).triangles.size() == 4);
  CHECK(closedness(simplify(tetrahedron, 100)).closed);
  CHECK(simplify(weld({o, x, y, x, x + y, y}).mesh, 100).triangles.size() == 2);
  CHECK(simplify(weld({o, x, y, o, x, z, o, x, -y, o, x, -z}).mesh, 100).triangles.size() == 4);
}

TEST_CASE("the error of taking a vertex out of a flat roof is its height over the new triangles") {
  // Given a square of side 2 whose middle stands 0.5 high; spread from a corner, the diagonal runs under the middle.
  const std::vector<Vector3d> square = {{-1, -1, 0}, {1, -1, 0}, {1, 1, 0}, {-1, 1, 0}};
  CHECK(removal_error({0, 0, 0.5}, square) == Approx(0.5).epsilon(1e-6));
  CHECK(removal_error({0, 0, 0}, square) < 1e-6);
  // Given a ridge between two corners and its middle: spread across the ridge, the error is the ridge's height at the
  // crossing; spread along it there is none.
  const std::vector<Vector3d> along = {{-1, 0, 0.4}, {0, -1, 0}, {1, 0, 0.4}, {0, 1, 0}};
  const std::vector<Vector3d> across = {{0, -1, 0}, {1, 0, 0.4}, {0, 1, 0}, {-1, 0, 0.4}};
  CHECK(removal_error({0, 0, 0.4}, along) < 1e-6);
  CHECK(removal_error({0, 0, 0.4}, across) == Approx(0.4).epsilon(1e-6));
}

TEST_CASE("no error is given where old and new triangles do not cover the same once") {
  // Given a ring that is not round its centre, one that goes round twice, one with a fold, and one that is a line.
  constexpr double none = std::numeric_limits<double>::infinity();
  CHECK(removal_error({5, 0, 0}, {{-1, -1, 0}, {1, -1, 0}, {1, 1, 0}, {-1, 1, 0}}) == none);
  std::vector<Vector3d> twice;
  for (int i = 0; i < 8; ++i) twice.emplace_back(std::cos(pi * i / 2), std::sin(pi * i / 2), 0);
  CHECK(removal_error({0, 0, 0}, twice) == none);
  CHECK(removal_error({0, 0, 0}, {{-1, -1, 0}, {1, -1, 0}, {0.1, -0.2, 0}, {1, 1, 0}, {-1, 1, 0}}) == none);
  CHECK(removal_error({0, 0, 0}, {{-1, 0, 0}, {1, 0, 0}, {2, 0, 0}}) == none);
  CHECK(removal_error({0, 0, 0}, {{-1, 0, 0}, {1, 0, 0}}) == none);
}
