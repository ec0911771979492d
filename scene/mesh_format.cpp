// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh_format.hpp"

#include <algorithm>
#include <iterator>
#include <string>

namespace cellproof {

namespace {

constexpr MeshFormat formats[] = {{".stl", false}, {".obj", false}, {".ply", false}, {".gltf", true},
                                  {".glb", true},  {".3mf", true},  {".step", true}, {".stp", true}};

}  // namespace

const MeshFormat* mesh_format_of(const std::filesystem::path& file) {
  std::string extension = file.extension().string();
  std::transform(extension.begin(), extension.end(), extension.begin(),
                 [](char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; });
  const auto* found = std::find_if(std::begin(formats), std::end(formats),
                                   [&](const MeshFormat& format) { return format.extension == extension; });
  return found == std::end(formats) ? nullptr : found;
}

}  // namespace cellproof
