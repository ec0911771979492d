// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/cut_depth.hpp"

#include <catch2/catch.hpp>

#include "scene/cell/cell.hpp"
#include "scene/mesh/weld.hpp"
#include "tests/support/random_geometry.hpp"

using namespace cellproof;

namespace {

/// Centred.
Mesh block(double x, double y, double z) {
  Mesh mesh;
  for (int i = 0; i < 8; ++i)
    mesh.vertices.emplace_back(((i & 1) ? x : -x) / 2, ((i & 2) ? y : -y) / 2, ((i & 4) ? z : -z) / 2);
  mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4},
                    {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}};
  return mesh;
}

/// A tube about z of `n` flats; its bore's and its outer corners lie at the radii.
Mesh tube(double outer, double inner, double height, int n) {
  std::vector<Vector3d> corners;
  const auto at = [&](double radius, int i, double z) {
    const double turn = 2 * pi * i / n;
    return Vector3d(radius * std::cos(turn), radius * std::sin(turn), z);
  };
  const auto quad = [&](const Vector3d& a, const Vector3d& b, const Vector3d& c, const Vector3d& d) {
    for (const auto& p : {a, b, c, a, c, d}) corners.push_back(p);
  };
  const double top = height / 2;
  for (int i = 0; i < n; ++i) {
    const int j = (i + 1) % n;
    quad(at(outer, i, -top), at(outer, j, -top), at(outer, j, top), at(outer, i, top));
    quad(at(inner, j, -top), at(inner, i, -top), at(inner, i, top), at(inner, j, top));
    quad(at(outer, i, top), at(outer, j, top), at(inner, j, top), at(inner, i, top));
    quad(at(outer, j, -top), at(outer, i, -top), at(inner, i, -top), at(inner, j, -top));
  }
  return weld(corners).mesh;
}

Pose at(double x, double y, double z) {
  return Pose(Eigen::Translation3d(x, y, z));
}

const Pose here = Pose::Identity();

}  // namespace

TEST_CASE("A box set into a larger one cuts as deep as it was lowered, either way asked") {
  const Solid table(block(400, 300, 50)), box(block(80, 60, 40));
  for (const double sunk : {0.8, 2.0, 11.0}) {
    CAPTURE(sunk);
    const Pose pose = at(30, -20, 45 - sunk);
    CHECK(cut_depth(table, here, box, pose, 0.5).depth_mm == Approx(sunk).epsilon(0.05));
    CHECK(cut_depth(box, pose, table, here, 0.5).depth_mm == Approx(sunk).epsilon(0.05));
  }
}

TEST_CASE("Touching, a gap and a cut less deep than asked about are none") {
  const Solid table(block(400, 300, 50)), box(block(80, 60, 40));
  for (const double sunk : {0.3, 0.0, -0.3, -100.0}) {
    CAPTURE(sunk);
    CHECK(cut_depth(table, here, box, at(30, -20, 45 - sunk), 0.5).depth_mm == 0);
  }
  CHECK(cut_depth(table, here, box, at(30, -20, 44.7), 0.1).depth_mm == Approx(0.3).margin(0.02));
}

TEST_CASE("Crossed bars cut although no corner of one lies in the other") {
  const Solid along(block(300, 20, 20)), across(block(20, 300, 20));
  CHECK(cut_depth(along, here, across, at(0, 0, 19.2), 0.5).depth_mm == Approx(0.8).epsilon(0.05));
  CHECK(cut_depth(along, here, across, at(0, 0, 19.7), 0.5).depth_mm == 0);
}

TEST_CASE("The same depth wherever in the world the pair stands") {
  random_geometry::Engine engine(7);
  const Solid table(block(400, 300, 50)), box(block(80, 60, 40));
  for (int i = 0; i < 20; ++i) {
    const Pose world = random_geometry::pose(engine, 3000);
    const CutDepth cut = cut_depth(table, world, box, world * at(30, -20, 44.2), 0.5);
    CHECK(cut.depth_mm == Approx(0.8).epsilon(0.05));
    // On the box's lower face or on the table's, across which its triangles' edges run.
    const double z = (world.inverse() * cut.point).z();
    CHECK((z == Approx(24.2).margin(1e-6) || z == Approx(25).margin(1e-6)));
  }
}

TEST_CASE("A cylinder in a bore cuts by its greater radius, and not at all by a smaller") {
  // 72 flats each and the same corners: between corners the bore's wall and the cylinder's are parallel chords,
  // (20.8 - 20) cos(2.5 deg) apart (derived).
  const Solid bore(tube(40, 20, 60, 72)), tight(tube(20.8, 5, 30, 72)), loose(tube(20.3, 5, 30, 72)),
      free(tube(19.9, 5, 30, 72));
  CHECK(cut_depth(bore, here, tight, here, 0.5).depth_mm == Approx(0.8 * std::cos(pi / 72)).epsilon(0.05));
  CHECK(cut_depth(bore, here, loose, here, 0.5).depth_mm == 0);
  CHECK(cut_depth(bore, here, free, here, 0.5).depth_mm == 0);
}

TEST_CASE("A solid wholly inside another cuts, and one in its cavity does not") {
  const Solid outer(block(100, 100, 100)), inner(block(10, 10, 10)), pipe(tube(40, 20, 60, 72));
  CHECK(cut_depth(outer, here, inner, at(20, 0, 0), 0.5).depth_mm == Approx(35).epsilon(0.05));  // edge at 15 from 50
  CHECK(cut_depth(pipe, here, inner, here, 0.5).depth_mm == 0);
}

TEST_CASE("An open mesh holds nothing") {
  Mesh open = block(400, 300, 50);
  open.triangles.pop_back();
  const Solid table(open), box(block(80, 60, 40));
  CHECK(cut_depth(table, here, box, at(30, -20, 35), 0.5).depth_mm <= 10.5);
}
