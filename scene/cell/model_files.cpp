// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/model_files.hpp"

#include <algorithm>
#include <iterator>

#include "scene/files/gltf_document.hpp"
#include "scene/files/mesh_format.hpp"

namespace cellproof {

std::vector<std::filesystem::path> files_of_model(const std::filesystem::path& model) {
  std::vector<std::filesystem::path> files{model};
  const MeshFormat* format = mesh_format_of(model);
  if (format && (format->extension == ".gltf" || format->extension == ".glb"))
    std::ranges::move(buffer_files(model), std::back_inserter(files));
  return files;
}

std::vector<std::filesystem::path> model_files(const Cell& cell) {
  std::vector<std::filesystem::path> files;
  const auto add = [&](const Shape& shape) {
    if (const auto* mesh = std::get_if<MeshSource>(&shape))
      std::ranges::move(files_of_model(cell.file.parent_path() / mesh->file), std::back_inserter(files));
  };
  for (const Body& body : cell.bodies) add(body.shape);
  for (const Part& part : cell.parts) add(part.shape);
  return files;
}

}  // namespace cellproof
