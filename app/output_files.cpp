// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/output_files.hpp"

#include <filesystem>

#include <fmt/format.h>

#include "scene/cell/model_files.hpp"

namespace cellproof {

namespace {

namespace fs = std::filesystem;

bool names_file(const std::string& file) {
  return !file.empty() && file != "-";
}

bool same_file(const fs::path& a, const fs::path& b) {
  std::error_code none;
  // A relative path to what is not there yet is left as it is spelled.
  const auto whole = [&](const fs::path& file) { return fs::weakly_canonical(fs::absolute(file, none), none); };
  return fs::equivalent(a, b, none) || whole(a) == whole(b);
}

}  // namespace

std::string trouble_with_outputs(const Cell& cell, const std::vector<Output>& outputs) {
  const auto models = model_files(cell);
  for (std::size_t i = 0; i < outputs.size(); ++i) {
    const auto& [option, file] = outputs[i];
    for (std::size_t k = 0; k < i; ++k)
      if (file == "-" && outputs[k].second == "-")
        return fmt::format("{}: standard output is taken by {}; name a file", option, outputs[k].first);
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
