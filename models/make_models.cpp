// SPDX-License-Identifier: GPL-3.0-or-later
// Writes the demo cell's meshes into a folder: make-models models/flange-cell/meshes
#include <cstdio>
#include <exception>
#include <filesystem>

#include <fmt/core.h>

#include "models/flange_cell.hpp"
#include "models/mesh_files.hpp"

namespace {

std::size_t write_all(const std::vector<cellproof::models::NamedShape>& shapes, const std::filesystem::path& folder) {
  std::size_t triangles = 0;
  for (const auto& [file, shape] : shapes) {
    write_mesh(shape, folder / file);
    fmt::print("{:<24}{:>7} triangles\n", file, shape.triangles.size());
    triangles += shape.triangles.size();
  }
  return triangles;
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) {
    fmt::print(stderr, "usage: make-models FOLDER\n");
    return 2;
  }
  try {
    const std::filesystem::path folder = arguments[1];
    std::filesystem::create_directories(folder);
    std::size_t triangles = 0;
    for (const auto& shapes : {cellproof::models::arm_shapes(), cellproof::models::surroundings_shapes(),
                               cellproof::models::tool_shapes()}) {
      triangles += write_all(shapes, folder);
    }
    fmt::print("{} triangles\n", triangles);
  } catch (const std::exception& error) {
    fmt::print(stderr, "make-models: {}\n", error.what());
    return 1;
  }
  return 0;
}
