// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell_file.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

const std::filesystem::path whole_file = CELLPROOF_SOURCE_DIR "/tests/unit/scene/cells/whole.toml";

Cell whole_cell() {
  const Input<Cell> cell = read_cell_file(whole_file);
  if (!cell) FAIL(cell.error().text());
  return *cell;
}

}  // namespace

TEST_CASE("a cell file with every table reads") {
  const Cell cell = whole_cell();
  CHECK(cell.name == "whole cell");
}
