// SPDX-License-Identifier: GPL-3.0-or-later
// Writes a demo cell's meshes into a folder: make-models flange-cell models/flange-cell/meshes
#include <cstdio>
#include <exception>
#include <filesystem>
#include <functional>
#include <map>
#include <string>

#include <fmt/core.h>

#include "models/bar_cell.hpp"
#include "models/board_cell.hpp"
#include "models/flange_cell.hpp"
#include "models/mesh_files.hpp"

namespace {

namespace models = cellproof::models;

struct DemoCell {
  std::string title;
  std::vector<std::function<std::vector<models::NamedShape>()>> bodies;
  std::vector<models::StepFile> step_files;
};

std::map<std::string, DemoCell> demo_cells() {
  namespace bar = models::bar_cell;
  namespace board = models::board_cell;
  namespace flange = models::flange_cell;
  return {
      {"bar-cell", {"bar cell", {bar::surroundings_shapes, bar::finger_shapes, bar::bar_shapes}, {}}},
      {"board-cell",
       {"board cell",
        {board::arm_shapes, board::mill_shapes, board::surroundings_shapes, board::tool_shapes},
        board::step_files()}},
      {"flange-cell", {"flange cell", {flange::arm_shapes, flange::surroundings_shapes, flange::tool_shapes}, {}}},
  };
}

void write_all(const DemoCell& cell, const std::filesystem::path& folder) {
  std::filesystem::create_directories(folder);
  std::size_t triangles = 0;
  for (const auto& bodies : cell.bodies) {
    for (const auto& [file, shape] : bodies()) {
      write_mesh(shape, folder / file, cell.title);
      fmt::print("{:<24}{:>7} triangles\n", file, shape.triangles.size());
      triangles += shape.triangles.size();
    }
  }
  for (const auto& step : cell.step_files) write_step(step, folder, cell.title);
  fmt::print("{} triangles\n", triangles);
}

}  // namespace

int main(int count, char** arguments) {
  try {
    const auto cells = demo_cells();
    const auto cell = count == 3 ? cells.find(arguments[1]) : cells.end();
    if (cell == cells.end()) {
      fmt::print(stderr, "usage: make-models bar-cell|board-cell|flange-cell FOLDER\n");
      return 2;
    }
    write_all(cell->second, arguments[2]);
  } catch (const std::exception& error) {
    fmt::print(stderr, "make-models: {}\n", error.what());
    return 1;
  }
  return 0;
}
