// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/mesh_pieces.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/mesh_facts.hpp"
#include "scene/mesh/primitives.hpp"
#include "tests/support/mesh_files.hpp"

using namespace cellproof;

using test::inside_out;
using test::shifted;
using test::together;

TEST_CASE("shells come apart with their own vertices") {
  const Mesh two = together({box_mesh({2, 4, 6}), shifted(box_mesh({1, 1, 1}), {10, 0, 0})});
  const auto pieces = separate_shells(two);
  REQUIRE(pieces.size() == 2);
  CHECK(pieces[0].vertices.size() == 8);
  CHECK(pieces[1].triangles.size() == 12);
  CHECK(solid_properties(pieces[0]).volume == Approx(48));
  CHECK(box_of(pieces[1]).low.x() == 9.5);
}

TEST_CASE("holes are found with their place and length, the longest first") {
  // Given a box of 2 by 4 by 6 without its top, and one of side 1 without one triangle of its top,
  Mesh open = box_mesh({2, 4, 6}), torn = box_mesh({1, 1, 1});
  open.triangles.erase(open.triangles.begin() + 2, open.triangles.begin() + 4);
  torn.triangles.erase(torn.triangles.begin() + 2);
  const auto all = holes(together({open, shifted(torn, {10, 0, 0})}));
  // then the rim of the first is 2 + 4 + 2 + 4 long; that of the second 1 + 1 + √2.
  REQUIRE(all.size() == 2);
  CHECK(all[0].edges == 4);
  CHECK(all[0].length_mm == Approx(12));
  CHECK(all[0].box.low == Vector3d(-1, -2, 3));
  CHECK(all[0].box.high == Vector3d(1, 2, 3));
  CHECK(all[1].edges == 3);
  CHECK(all[1].length_mm == Approx(2 + std::sqrt(2.0)));
  CHECK(holes(box_mesh({1, 1, 1})).empty());
}

TEST_CASE("open edges are those that closedness counts") {
  Mesh mesh = box_mesh({2, 4, 6});
  mesh.triangles.pop_back();
  std::swap(mesh.triangles[0][0], mesh.triangles[0][1]);  // one turned round: its three edges do not fit
  CHECK(open_edges(mesh).size() == closedness(mesh).open_edges);
  CHECK(open_edges(mesh).size() == 6);
}

TEST_CASE("a shell inside out is told from a hollow") {
  const Mesh outer = box_mesh({10, 10, 10}), inner = inside_out(box_mesh({4, 4, 4}));
  const auto turned = [](const std::vector<Mesh>& meshes) {
    return turned_inside_out(separate_shells(together(meshes)));
  };
  CHECK(turned({outer, inner}) == std::vector<char>{0, 0});
  CHECK(turned({outer, shifted(inner, {20, 0, 0})}) == std::vector<char>{0, 1});
  CHECK(turned({inside_out(outer)}) == std::vector<char>{1});
  CHECK(turned({outer}) == std::vector<char>{0});
}

TEST_CASE("facts tell the whole from its shells") {
  Mesh torn = box_mesh({1, 2, 3});
  torn.triangles.pop_back();
  const MeshFacts facts = mesh_facts(together({box_mesh({2, 4, 6}), shifted(torn, {10, 0, 0})}));
  CHECK_FALSE(facts.whole.closed);
  CHECK(facts.whole.open_edges == 3);
  CHECK_FALSE(facts.whole.volume_mm3);
  CHECK(facts.whole.triangles == 23);
  REQUIRE(facts.solids.size() == 2);
  CHECK(facts.solids[0].volume_mm3.value_or(0) == Approx(48));
  CHECK(facts.solids[0].area_mm2 == Approx(88));  // 2 (2·4 + 4·6 + 2·6)
  CHECK_FALSE(facts.solids[1].closed);
  CHECK(facts.solids[1].box.high.x() == 10.5);
}
