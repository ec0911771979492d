// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/model_files.hpp"

namespace cellproof {

std::vector<std::filesystem::path> model_files(const Cell& cell) {
  std::vector<std::filesystem::path> files;
  const auto add = [&](const Shape& shape) {
    if (const auto* mesh = std::get_if<MeshSource>(&shape)) files.push_back(cell.file.parent_path() / mesh->file);
  };
  for (const Body& body : cell.bodies) add(body.shape);
  for (const Part& part : cell.parts) add(part.shape);
  return files;
}

}  // namespace cellproof
