// SPDX-License-Identifier: GPL-3.0-or-later
// A pocket milled into a plate: how deep it is and what wall it leaves.
#include "scene/cutting/cut_surface.hpp"

#include "scene/cutting/solid_cut.hpp"
#include "scene/mesh/primitives.hpp"
#include "tests/support/blocks.hpp"
#include "tests/support/cad_files.hpp"

using namespace cellproof;
using namespace cellproof::test;

namespace {

struct Pocketed {
  Solid before{box_mesh({100, 100, 20})};
  std::vector<ConvexSolid> cutters;
  Mesh rest;
  std::vector<std::uint32_t> cut;
  explicit Pocketed(const ConvexSolid& cutter) : cutters{cutter} {
    rest = cut_mesh_free(before.mesh(), cutters, "the plate").value().rest;
    cut = cut_triangles(before, rest, cutters);
  }
};

}  // namespace

TEST_CASE("a pocket's new surface is its floor and its four sides") {
  const Pocketed plate(block({-15, -15, 2}, {15, 15, 50}));
  double area = 0;
  for (const std::uint32_t number : plate.cut) {
    const auto& [a, b, c] = plate.rest.triangles[number];
    area += (plate.rest.vertices[b] - plate.rest.vertices[a])
                .cross(plate.rest.vertices[c] - plate.rest.vertices[a])
                .norm() /
            2;
  }
  CHECK(area == Approx(30 * 30 + 4 * 30 * 8));
}

TEST_CASE("a pocket of 8 mm in a plate of 20 is 8 deep and leaves a wall of 12 under it") {
  const Pocketed plate(block({-15, -15, 2}, {15, 15, 50}));
  const Measured deepest = deepest_cut(plate.before, plate.rest, plate.cut);
  CHECK(deepest.mm == Approx(8).margin(0.01));
  CHECK(deepest.at.z() == Approx(2).margin(0.01));
  const auto wall = least_wall(plate.rest, plate.cut, 1);
  REQUIRE(wall);
  CHECK(wall->mm == Approx(12).margin(1e-6));
}

TEST_CASE("a pocket near the plate's side leaves the thin wall beside it") {
  const Pocketed plate(block({20, -15, 2}, {47, 15, 50}));
  const auto wall = least_wall(plate.rest, plate.cut, 1);
  REQUIRE(wall);
  CHECK(wall->mm == Approx(3).margin(1e-6));  // to x 50
  CHECK(wall->at.x() == Approx(47));
}

TEST_CASE("a slot right through has walls at its sides only, and none where all is cut away behind") {
  const Pocketed plate(block({-15, -60, -50}, {15, 60, 50}));
  const auto wall = least_wall(plate.rest, plate.cut, 1);
  REQUIRE(wall);
  CHECK(wall->mm == Approx(35).margin(1e-6));
}

TEST_CASE("a pocket deeper than half the plate is deepest on its walls, half way through the plate") {
  // The floor lies 15 under the top and 5 over the underside; a wall's middle lies 10 from both.
  const Pocketed plate(block({-15, -15, -5}, {15, 15, 50}));
  const Measured deepest = deepest_cut(plate.before, plate.rest, plate.cut);
  CHECK(deepest.mm == Approx(10).margin(0.01));
  CHECK(std::abs(deepest.at.z()) < 0.02);
}

TEST_CASE("the spacing asks for about as many points as wanted and is never below 0.1 mm") {
  const Pocketed plate(block({-15, -15, 2}, {15, 15, 50}));
  const double area = 30 * 30 + 4 * 30 * 8;
  CHECK(wall_spacing(plate.rest, plate.cut, 1000) == Approx(std::sqrt(area / 1000)).epsilon(0.5));
  CHECK(wall_spacing(plate.rest, plate.cut, 1e9) == Approx(0.1));
}
