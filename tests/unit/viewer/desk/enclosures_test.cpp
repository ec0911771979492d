// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/enclosures.hpp"

#include <catch2/catch.hpp>
#include <fmt/format.h>

#include "scene/cell/cell_file.hpp"
#include "scene/cycle/plan.hpp"

using namespace cellproof;

namespace {

std::vector<std::string> enclosures_of_demo(const std::string& cell) {
  const Scene scene =
      build_scene(read_cell_file(std::string(CELLPROOF_SOURCE_DIR) + "/models/" + cell).value()).value();
  return enclosures_of(scene, plan_cycle(scene));
}

}  // namespace

TEST_CASE(
    "Of the demo cells the machines' enclosures stand about what is worth seeing and no rack, chuck or pedestal") {
  for (const char* version : {"as-drawn.toml", "mended.toml"}) {
    CHECK(enclosures_of_demo(fmt::format("board-cell/{}", version)) == std::vector<std::string>{"enclosure"});
    CHECK(enclosures_of_demo(fmt::format("flange-cell/{}", version)) == std::vector<std::string>{"enclosure"});
  }
}
