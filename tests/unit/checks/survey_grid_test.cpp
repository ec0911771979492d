// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/survey_grid.hpp"

#include <catch2/catch.hpp>

#include "scene/cell/survey_range.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;

namespace {

Cell cell_with(const std::string& surveys) {
  return test::cell_of(test::head + "[[body]]\nname = \"pallet\"\nat = { xyz = [700, 0, 0] }\nbox = [10, 10, 10]\n" +
                       surveys + test::cycle_from("0, 0, 0, 0, 0, 0"));
}

}  // namespace

TEST_CASE("both ends of a range count, also where the step does not divide it") {
  CHECK(values_of({-20, 20, 10}) == std::vector<double>{-20, -10, 0, 10, 20});
  CHECK(values_of({0, 25, 10}) == std::vector<double>{0, 10, 20, 25});
  CHECK(values_of({5, 5, 10}) == std::vector<double>{5});
  // 0.1 is no binary fraction: three steps all the same, and the end as written
  CHECK(values_of({0, 0.3, 0.1}).size() == 4);
  CHECK(values_of({0, 0.3, 0.1}).back() == 0.3);
}

TEST_CASE("spots are numbered with x fastest and found again by their places") {
  const Cell cell = cell_with(
      "[[survey]]\nname = \"spots\"\nmove = \"pallet\"\nx = { from = 0, to = 20, step = 10 }\n"
      "y = { from = -5, to = 5, step = 5 }\nyaw = { from = 0, to = 90, step = 90 }\n");
  const SurveyGrid grid = survey_grid(cell, cell.surveys.front());
  REQUIRE(grid.size() == 3 * 3 * 2);
  CHECK(grid.placements(1).front().offset == Vector3d(10, -5, 0));
  CHECK(grid.placements(3).front().offset == Vector3d(0, 0, 0));
  CHECK(grid.placements(17).front().yaw == Approx(pi / 2));
  for (std::size_t i = 0; i < grid.size(); ++i) CHECK(grid.index_of(grid.places_of(i)) == i);
  CHECK(grid.same_layer(0, 8));
  CHECK_FALSE(grid.same_layer(8, 9));
}

TEST_CASE("a survey crossed with another has a spot for every pair of placements") {
  const Cell cell = cell_with(
      "[[survey]]\nname = \"spots\"\nmove = \"pallet\"\nwith = \"arm spots\"\nx = { from = 0, to = 20, step = 10 }\n"
      "[[survey]]\nname = \"arm spots\"\nmove = \"base\"\nz = { from = 0, to = 100, step = 50 }\n");
  const SurveyGrid grid = survey_grid(cell, cell.surveys.front());
  REQUIRE(grid.size() == 9);
  const auto last = grid.placements(8);
  CHECK(last[0].offset == Vector3d(20, 0, 0));
  CHECK(last[1].offset == Vector3d(0, 0, 100));
}

TEST_CASE("a body moved stands where its offset says, turned about its own origin") {
  // Given a pallet at (700, 0, 0), when it is moved by 10, 20, 30 and turned a quarter, then its own +x is the world's
  // y.
  const Scene scene =
      test::scene_of(test::head +
                     "[[body]]\nname = \"pallet\"\nat = { xyz = [700, 0, 0] }\nbox = [10, 10, 10]\n[[seat]]\nname = "
                     "\"nest\"\non = \"pallet\"\nat = { xyz = [5, 0, 0] }\n");
  const Scene moved = with_placement(scene, "pallet", {{10, 20, 30}, pi / 2});
  const auto at = [](const Scene& where, const char* frame) {
    return world_poses(where, stated_arrangement(where), Joints::Zero())[where.frame_named(frame)];
  };
  CHECK((at(moved, "pallet").translation() - Vector3d(710, 20, 30)).norm() < 1e-9);
  CHECK((at(moved, "nest").translation() - Vector3d(710, 25, 30)).norm() < 1e-9);
  CHECK(at(moved, "base").isApprox(at(scene, "base")));
  CHECK(moved.bodies.front().solid == scene.bodies.front().solid);  // not opened again
  const Scene lifted = with_placement(scene, "base", {{0, 0, 200}, 0});
  CHECK(at(lifted, "flange").translation().z() == Approx(at(scene, "flange").translation().z() + 200));
  CHECK(at(lifted, "pallet").isApprox(at(scene, "pallet")));
}
