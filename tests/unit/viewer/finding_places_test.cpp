// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/finding_places.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("a run is found by its seat, and by what fills the others where that is told") {
  Cycle cycle;
  for (const auto& [name, others] : {std::pair{"rack 1", "none"}, {"rack 1", "board"}, {"rack 2", "none"}}) {
    cycle.runs.emplace_back();
    cycle.runs.back().name = name;
    cycle.runs.back().others = others;
  }
  CHECK(run_named(cycle, "rack 1", "") == 0U);
  CHECK(run_named(cycle, "rack 1", "board") == 1U);
  CHECK(run_named(cycle, "rack 2", "none") == 2U);
  CHECK_FALSE(run_named(cycle, "rack 3", ""));
}
