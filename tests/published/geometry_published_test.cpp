// SPDX-License-Identifier: GPL-3.0-or-later
// Geometry against numbers from outside the program.
#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"
#include "scene/solids/distance.hpp"

using namespace cellproof;

TEST_CASE("Solid angle of a disk of radius 1 from 1 above its centre") {
  // derived: 2π (1 - 1/√2) = 1.8403023690 sr
  Mesh disk;
  const int n = 20000;
  disk.vertices.emplace_back(0, 0, 0);
  for (int i = 0; i < n; ++i) disk.vertices.emplace_back(std::cos(2 * pi * i / n), std::sin(2 * pi * i / n), 0);
  for (std::uint32_t i = 0; i < n; ++i) disk.triangles.push_back({0, 1 + i, 1 + (i + 1) % n});
  CHECK(4 * pi * std::abs(winding_number(disk, {0, 0, 1})) == Approx(1.8403023690).epsilon(1e-7));
}

TEST_CASE("A block and a gripper's cylinder as the wrist example states them") {
  // derived: 150 × 100 × 25 mm at 2700 kg/m³ is 1.0125 kg
  CHECK(solid_properties(box_mesh({150, 100, 25})).volume * 2700e-9 == Approx(1.0125));
  // elementary: a cylinder r 50 h 120 has inertia m (3 r² + h²) / 12 across and m r² / 2 along; the mesh is inscribed
  const SolidProperties cylinder = solid_properties(cylinder_mesh(50, 120));
  CHECK(cylinder.inertia(0, 0) / cylinder.volume == Approx((3 * 2500 + 14400) / 12.0).epsilon(1e-3));
  CHECK(cylinder.inertia(2, 2) / cylinder.volume == Approx(1250).epsilon(1e-3));
}

TEST_CASE("Unit boxes along single axes, where a convex solver is known to err by 0.236") {
  // derived: the gap of unit boxes at (1 + g) along an axis is g
  const Solid box(box_mesh({1, 1, 1}));
  for (int axis = 0; axis < 3; ++axis)
    for (const double gap : {1e-6, 1e-3, 0.1, 0.236, 1.0, 100.0}) {
      Pose other = Pose::Identity();
      other.translation()[axis] = 1 + gap;
      const double found = nearest(box, Pose::Identity(), box, other, std::numeric_limits<double>::infinity()).distance;
      CHECK(found == Approx(gap).epsilon(1e-9).margin(1e-12));
    }
}
