// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/output_files.hpp"

#include <filesystem>

#include <fmt/format.h>

namespace cellproof {

namespace {

namespace fs = std::filesystem;

bool names_file(const std::string& file) {
  return !file.empty() && file != "-";
}

bool same_file(const fs::path& a, const fs::path& b) {
  std::error_code none;
  return fs::equivalent(a, b, none) || fs::weakly_canonical(a, none) == fs::weakly_canonical(b, none);
}

std::vector<fs::path> models_of(const Cell& cell) {
  std::vector<fs::path> models;
  const auto add = [&](const Shape& shape) {
    if (const auto* mesh = std::get_if<MeshSource>(&shape)) models.push_back(cell.file.parent_path() / mesh->file);
  };
  for (const auto& body : cell.bodies) add(body.shape);
  for (const auto& part : cell.parts) add(part.shape);
  return models;
}

}  // namespace

std::string trouble_with_outputs(const Cell& cell, const std::vector<Output>& outputs) {
  const auto models = models_of(cell);
  for (std::size_t i = 0; i < outputs.size(); ++i) {
    const auto& [option, file] = outputs[i];
    if (!names_file(file)) continue;
    if (same_file(file, cell.file)) return fmt::format("{}: '{}' is the file that is read; name another", option, file);
    for (const fs::path& model : models)
      if (same_file(file, model))
        return fmt::format("{}: '{}' is a model that the cell uses; name another file", option, file);
    for (std::size_t k = 0; k < i; ++k)
      if (names_file(outputs[k].second) && same_file(file, outputs[k].second))
        return fmt::format("{}: '{}' is named by {} already; name another file", option, file, outputs[k].first);
  }
  return {};
}

}  // namespace cellproof
