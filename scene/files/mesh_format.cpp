// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/mesh_format.hpp"

#include <algorithm>
#include <iterator>
#include <string>

namespace cellproof {

namespace {

constexpr MeshFormat formats[] = {
    {".stl", false, false}, {".obj", false, false}, {".ply", false, false}, {".gltf", true, false},
    {".glb", true, false},  {".3mf", true, false},  {".step", true, true},  {".stp", true, true},
};

}  // namespace

const MeshFormat* mesh_format_of(const std::filesystem::path& file) {
  std::string extension = file.extension().string();
  std::transform(extension.begin(), extension.end(), extension.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  const auto* found = std::find_if(std::begin(formats), std::end(formats),
                                   [&](const MeshFormat& format) { return format.extension == extension; });
  return found == std::end(formats) ? nullptr : found;
}

bool holds_solids(const std::filesystem::path& file) {
  const MeshFormat* format = mesh_format_of(file);
  return format && format->holds_solids;
}

}  // namespace cellproof
