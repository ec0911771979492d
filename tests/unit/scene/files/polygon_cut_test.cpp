// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/polygon_cut.hpp"

#include <map>

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "scene/files/mesh_import.hpp"
#include "tests/support/random_geometry.hpp"
#include "tests/support/wedge_files.hpp"

using namespace cellproof;

namespace {

Vector3d area_of(const std::vector<Vector3d>& corners, const std::array<std::size_t, 3>& t) {
  return (corners[t[1]] - corners[t[0]]).cross(corners[t[2]] - corners[t[0]]) / 2;
}

/// Twice the shoelace formula's area vector.
Vector3d shoelace(const std::vector<Vector3d>& corners) {
  Vector3d sum = Vector3d::Zero();
  for (std::size_t i = 0; i < corners.size(); ++i)
    sum += (corners[i] - corners[0]).cross(corners[(i + 1) % corners.size()] - corners[0]);
  return sum / 2;
}

/// Triangles that all turn as the polygon does and add up to its area overlap nowhere; the inner sides cancel.
void check_tiles(const std::vector<Vector3d>& corners) {
  const PolygonCut cut = cut_polygon(corners);
  CHECK(cut.triangles.size() == corners.size() - 2);
  const Vector3d whole = shoelace(corners);
  double sum = 0;
  std::map<std::pair<std::size_t, std::size_t>, int> sides;
  for (const auto& t : cut.triangles) {
    const double area = area_of(corners, t).dot(whole) / whole.norm();
    CHECK(area > 0);
    sum += area;
    for (std::size_t i = 0; i < 3; ++i) {
      ++sides[{t[i], t[(i + 1) % 3]}];
      --sides[{t[(i + 1) % 3], t[i]}];
    }
  }
  CHECK(sum == Approx(whole.norm()).epsilon(1e-9));
  for (std::size_t i = 0; i < corners.size(); ++i) CHECK(sides[{i, (i + 1) % corners.size()}] == 1);
  for (const auto& [side, times] : sides) {
    const std::size_t next = (side.first + 1) % corners.size(), last = (side.second + 1) % corners.size();
    if (next != side.second && last != side.first) CHECK(times == 0);
  }
}

/// Star-shaped about the origin, so that it never crosses itself, laid into space at random.
std::vector<Vector3d> random_star(random_geometry::Engine& engine, std::size_t count) {
  const Pose pose = random_geometry::pose(engine, 1000);
  std::vector<Vector3d> corners;
  for (std::size_t i = 0; i < count; ++i) {
    const double angle =
        2 * pi * (static_cast<double>(i) + random_geometry::between(engine, 0, 0.9)) / static_cast<double>(count);
    const double radius = random_geometry::between(engine, 1, 100);
    corners.push_back(pose * Vector3d(radius * std::cos(angle), radius * std::sin(angle), 0));
  }
  return corners;
}

}  // namespace

TEST_CASE("Polygons of any shape are tiled: convex, concave, with corners in the middle of a side") {
  check_tiles({{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 3, 0}});
  check_tiles({{0, 0, 5}, {1, 1, 5}, {0, 4, 5}, {-1, 1, 5}, {-3, -3, 5}});          // concave at the first corner
  check_tiles({{0, 0, 0}, {4, 0, 0}, {0.5, 0.5, 0}, {0, 4, 0}});                    // an arrow head
  check_tiles({{0, 0, 0}, {1, 0, 0}, {2, 0, 0}, {2, 2, 0}, {1, 2, 0}, {0, 2, 0}});  // corners within sides
  check_tiles({{0, 0, 0}, {3, 0, 0}, {1, 0, 1}, {1, 0, 4}, {3, 0, 5}, {0, 0, 5}});  // a C
  check_tiles({{1e6, 1e6, 7}, {1e6 + 1, 1e6, 7}, {1e6 + 0.1, 1e6 + 0.1, 7}, {1e6, 1e6 + 1, 7}});  // a kilometre off
}

TEST_CASE("A polygon with a hole, reached by a bridge, keeps its hole") {
  const std::vector<Vector3d> frame = {{0, 0, 0}, {4, 0, 0}, {4, 4, 0}, {0, 4, 0}, {0, 0, 0},
                                       {1, 1, 0}, {1, 3, 0}, {3, 3, 0}, {3, 1, 0}, {1, 1, 0}};
  double sum = 0;
  for (const auto& t : cut_polygon(frame).triangles) {
    const double area = area_of(frame, t).z();
    CHECK(area > -1e-12);
    sum += area;
    const Vector3d middle = (frame[t[0]] + frame[t[1]] + frame[t[2]]) / 3;
    if (area > 1e-12) CHECK(std::max(std::abs(middle.x() - 2), std::abs(middle.y() - 2)) > 1);
  }
  CHECK(sum == Approx(16 - 4));
}

TEST_CASE("Random concave polygons in space are tiled by as many triangles as they have corners, less two") {
  random_geometry::Engine engine(17);
  const int polygons = std::getenv("CELLPROOF_LONG") != nullptr ? 3000 : 300;
  for (int i = 0; i < polygons; ++i) check_tiles(random_star(engine, 4 + engine() % 40));
}

TEST_CASE("A polygon that is not plane books how far another way of cutting it may lie") {
  // The two ways to cut a square with one corner lifted by 0.3 are at most 0.3 apart (elementary).
  const std::vector<Vector3d> bent = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0.3}, {0, 1, 0}};
  const double fold = cut_polygon(bent).fold;
  CHECK(fold > 0.14);  // in the middle: 0.15, seen along z
  CHECK(fold <= 0.3);
  CHECK(cut_polygon({{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}}).fold == 0);

  const test::TestFile file(".obj", "v 0 0 0\nv 1 0 0\nv 1 1 0.3\nv 0 1 0\nf 1 2 3 4\n");
  const auto read = import_mesh(file.path(), 25.4);
  REQUIRE(read);
  CHECK(read->mesh.deviation.outside == Approx(25.4 * fold));
  CHECK(read->mesh.deviation.inside == read->mesh.deviation.outside);
}

TEST_CASE("Polygons of thousands of corners are cut in no time, and nonsense never hangs or crashes") {
  random_geometry::Engine engine(5);
  check_tiles(random_star(engine, 3000));
  std::vector<Vector3d> mess;
  for (int i = 0; i < 500; ++i) mess.push_back(random_geometry::point_in_cube(engine, 1));
  CHECK(cut_polygon(mess).triangles.size() == 498);
  CHECK(cut_polygon(std::vector<Vector3d>(50, Vector3d(1, 2, 3))).triangles.size() == 48);
}
