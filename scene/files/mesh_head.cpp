// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/mesh_head.hpp"

#include <fstream>

namespace cellproof {

namespace {

constexpr std::size_t longest_head = 65536;

std::string head_of(const std::filesystem::path& file) {
  std::string head(longest_head, '\0');
  std::ifstream in(file, std::ios::binary);
  in.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(in.gcount()));
  return head;
}

bool begins_as_json(std::string_view head) {
  const std::string_view mark = "\xEF\xBB\xBF";
  if (head.substr(0, mark.size()) == mark) head.remove_prefix(mark.size());
  const std::size_t first = head.find_first_not_of(" \t\r\n");
  return first != std::string_view::npos && head[first] == '{';
}

}  // namespace

std::string trouble_at_head(const std::filesystem::path& file, std::string_view ending) {
  const std::string head = head_of(file);
  if (ending == ".glb" && head.substr(0, 4) != "glTF") return "it is no GLB file";
  if (ending == ".gltf" && !begins_as_json(head)) return "it is no glTF file";
  if (ending == ".3mf" && head.substr(0, 2) != "PK") return "it is no 3MF file";
  return {};
}

}  // namespace cellproof
