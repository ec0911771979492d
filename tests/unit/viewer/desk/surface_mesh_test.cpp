// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/surface_mesh.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"

using namespace cellproof;

TEST_CASE("A box has sharp faces and its twelve edges as creases") {
  const Mesh box = box_mesh({10, 20, 30});
  const DrawnSurface surface = drawn_surface(box);
  REQUIRE(surface.corners.size() == 36);
  for (const Vector3d& normal : surface.normals) CHECK(normal.cwiseAbs().maxCoeff() == Approx(1));
  const auto lines = creases(box);
  CHECK(lines.size() == 12);
  double length = 0;
  for (const auto& line : lines) length += (line[1] - line[0]).norm();
  CHECK(length == Approx(4 * (10 + 20 + 30)));
}

TEST_CASE("A sphere is smooth: no crease, and each corner's normal points away from its centre") {
  const Mesh sphere = sphere_mesh(50);
  CHECK(creases(sphere).empty());
  const DrawnSurface surface = drawn_surface(sphere);
  for (std::size_t i = 0; i < surface.corners.size(); ++i)
    CHECK(surface.normals[i].dot(surface.corners[i].normalized()) > 0.98);
}

TEST_CASE("A cylinder's rims are creases and its side is smooth") {
  const Mesh cylinder = cylinder_mesh(20, 60);
  for (const auto& line : creases(cylinder)) CHECK(line[0].z() == Approx(line[1].z()));
  CHECK_FALSE(creases(cylinder).empty());
}

TEST_CASE("The rim of an open mesh is drawn") {
  Mesh sheet;
  sheet.vertices = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {0, 1, 0}};
  sheet.triangles = {{0, 1, 2}, {0, 2, 3}};
  CHECK(creases(sheet).size() == 4);
}
