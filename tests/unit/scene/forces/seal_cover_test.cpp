// SPDX-License-Identifier: GPL-3.0-or-later
// Zones against part meshes of which it is plain by construction where they leak.
#include "scene/forces/seal_cover.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"

using namespace cellproof;

namespace {

constexpr double tolerance = 0.5;

Suction cup(double radius) {
  Suction zone;
  zone.circle = radius;
  return zone;
}

/// A plate with its face in the seal plane, its middle at (x, y).
SealCover over_plate(const Suction& zone, const Vector3d& size, double x, double y, double gap = 0) {
  const Mesh mesh = box_mesh(size);
  const MeshInZone plate{&mesh, Pose(Eigen::Translation3d(x, y, size.z() / 2 + gap))};
  return seal_cover(zone, {&plate, 1}, tolerance);
}

/// A plate of four bars about a square opening of the given width, closed as one mesh would be on its face.
std::vector<Mesh> plate_with_opening(double size, double opening) {
  const double bar = (size - opening) / 2;
  return {box_mesh({size, bar, 10}), box_mesh({bar, opening, 10})};
}
SealCover over_opening(const Suction& zone, double size, double opening, double x) {
  const auto meshes = plate_with_opening(size, opening);
  const double out = (size + opening) / 4;
  const auto at = [&](double dx, double dy) { return Pose(Eigen::Translation3d(x + dx, dy, 5)); };
  const std::vector<MeshInZone> bars{
      {&meshes[0], at(0, out)}, {&meshes[0], at(0, -out)}, {&meshes[1], at(out, 0)}, {&meshes[1], at(-out, 0)}};
  return seal_cover(zone, bars, tolerance);
}

}  // namespace

TEST_CASE("a cup on the middle of a plate is covered all round") {
  const SealCover cover = over_plate(cup(15), {100, 60, 10}, 0, 0);
  CHECK_FALSE(cover.leaks());
  CHECK(cover.recess_mm == 0);
  CHECK(cover.seal_mm == Approx(2 * pi * 15).epsilon(1e-3));
}

TEST_CASE("a cup over a plate's edge leaks along the arc that hangs over") {
  // derived: the edge at x = 9 cuts a circle of 15 at an angle of acos(9/15) on either side
  const SealCover cover = over_plate(cup(15), {100, 60, 10}, -41, 0);
  CHECK(cover.leaks());
  CHECK(cover.bare_mm == Approx(2 * 15 * std::acos(9.0 / 15)).epsilon(2e-3));
  // one stretch, though the border begins in its middle
  CHECK(cover.widest_mm == Approx(cover.bare_mm));
  CHECK((cover.widest_at - Vector2d(15, 0)).norm() < 0.3);
}

TEST_CASE("a cup that stands off by more than the tolerance has nothing against it") {
  CHECK_FALSE(over_plate(cup(15), {100, 60, 10}, 0, 0, 0.49).leaks());
  CHECK_FALSE(over_plate(cup(15), {100, 60, 10}, 0, 0, -0.49).leaks());
  const SealCover off = over_plate(cup(15), {100, 60, 10}, 0, 0, 0.51);
  CHECK(off.bare_mm == Approx(off.seal_mm));
  CHECK(over_plate(cup(15), {100, 60, 10}, 200, 0).bare_mm > 0);
}

TEST_CASE("a plate tilted by a degree lies against the seal only where it is within the tolerance") {
  // derived: height x tan 1 deg within 0.5 mm where |x| < 28.645; of the square's border of 200 mm the sides at y = ±25
  // are bare beyond that, and the sides at x = ±50 wholly
  Suction square;
  square.outline = {{-50, -25}, {50, -25}, {50, 25}, {-50, 25}};
  const Mesh mesh = box_mesh({200, 200, 10});
  const Pose tilt(Eigen::AngleAxisd(radians(1), Vector3d::UnitY()));
  const MeshInZone plate{&mesh, tilt * Pose(Eigen::Translation3d(0, 0, 5))};
  const double reach = tolerance / std::tan(radians(1));
  CHECK(seal_cover(square, {&plate, 1}, tolerance).bare_mm == Approx(2 * 50 + 4 * (50 - reach)).epsilon(1e-6));
}

TEST_CASE("an opening within the seal leaks though the whole seal is covered") {
  const SealCover cover = over_opening(cup(15), 80, 8, 0);
  CHECK(cover.bare_mm == 0);
  CHECK(cover.open_through);
  CHECK(cover.leaks());
  CHECK(cover.open_at.cwiseAbs().maxCoeff() < 4.01);
}

TEST_CASE("a zone with a hole drawn around the opening does not leak") {
  Suction zone = cup(15);
  zone.holes = {{{-6, -6}, {6, -6}, {6, 6}, {-6, 6}}};
  CHECK_FALSE(over_opening(zone, 80, 8, 0).leaks());
  CHECK(over_opening(zone, 80, 14, 0).bare_mm > 0);  // the opening reaches beyond the hole's seal
}

TEST_CASE("a slot of 0.2 mm across the seal is found where it crosses") {
  const Mesh half = box_mesh({100, 100, 10});
  const std::vector<MeshInZone> halves{{&half, Pose(Eigen::Translation3d(0, 50.1, 5))},
                                       {&half, Pose(Eigen::Translation3d(0, -50.1, 5))}};
  const SealCover cover = seal_cover(cup(15), halves, tolerance);
  CHECK(cover.bare_mm == Approx(0.4).epsilon(0.01));
  CHECK(std::abs(cover.widest_at.x()) == Approx(15).epsilon(1e-3));
}

TEST_CASE("a recess within the seal that has a floor is told but does not leak") {
  const auto meshes = plate_with_opening(80, 8);
  const Mesh floor = box_mesh({8, 8, 7});
  const double out = (80 + 8) / 4.0;
  const auto at = [](double x, double y, double z) { return Pose(Eigen::Translation3d(x, y, z)); };
  const std::vector<MeshInZone> all{{&meshes[0], at(0, out, 5)},
                                    {&meshes[0], at(0, -out, 5)},
                                    {&meshes[1], at(out, 0, 5)},
                                    {&meshes[1], at(-out, 0, 5)},
                                    {&floor, at(0, 0, 6.5)}};
  const SealCover cover = seal_cover(cup(15), all, tolerance);
  CHECK_FALSE(cover.leaks());
  CHECK(cover.recess_mm == Approx(3));
}
