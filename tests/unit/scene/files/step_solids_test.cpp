// SPDX-License-Identifier: GPL-3.0-or-later
// The list of solids comes back whole or not at all.
#include "scene/files/step_solids.hpp"

#include <catch2/catch.hpp>

#include "scene/mesh/primitives.hpp"

using namespace cellproof;

TEST_CASE("solids come back from their bytes in their order, with names of any kind") {
  const std::vector<StepSolid> solids = {{"jaw \"left\"\n", box_mesh({1, 2, 3})}, {"", sphere_mesh(4)}};
  const auto back = step_solids_of(step_solids_bytes(solids));
  REQUIRE(back);
  REQUIRE(back->size() == 2);
  CHECK((*back)[0].name == "jaw \"left\"\n");
  CHECK((*back)[0].mesh.vertices == solids[0].mesh.vertices);
  CHECK((*back)[1].mesh.triangles == solids[1].mesh.triangles);
  const auto none = step_solids_of(step_solids_bytes({}));
  REQUIRE(none);
  CHECK(none->empty());
}

TEST_CASE("a list of solids that is cut off, longer or garbled is none") {
  const std::string bytes = step_solids_bytes({{"peg", box_mesh({1, 2, 3})}, {"plate", box_mesh({4, 5, 6})}});
  for (std::size_t length = 0; length < bytes.size(); ++length) CHECK_FALSE(step_solids_of(bytes.substr(0, length)));
  CHECK_FALSE(step_solids_of(bytes + "0"));
  for (const char* head : {"", "{}", "[1]", "[[1, 2]]", "[[\"a\"]]", "[[\"a\", -1]]", "[[\"a\", 99999]]"})
    CHECK_FALSE(step_solids_of(std::string(head) + "\n"));
}
