// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/mesh_head.hpp"

#include <algorithm>
#include <fstream>
#include <optional>
#include <sstream>

#include <fmt/format.h>

namespace cellproof {

namespace {

constexpr std::size_t longest_header = 65536;

std::string head_of(const std::filesystem::path& file) {
  std::string head(longest_header, '\0');
  std::ifstream in(file, std::ios::binary);
  in.read(head.data(), static_cast<std::streamsize>(head.size()));
  head.resize(static_cast<std::size_t>(in.gcount()));
  return head;
}

/// Where a .ply's header ends: the offset of its first byte of data.
std::optional<std::size_t> header_size(std::string_view head) {
  for (const std::string_view last : {"\nend_header\n", "\nend_header\r\n"})
    if (const std::size_t at = head.find(last); at != std::string_view::npos) return at + last.size();
  return {};
}

struct PlyCounts {
  bool text = false;
  double elements = 0;  ///< of all kinds; counts out of any range still add up
};

PlyCounts counts_of(const std::string& header) {
  PlyCounts counts;
  std::istringstream lines(header);
  for (std::string line; std::getline(lines, line);) {
    std::istringstream words(line);
    std::string key, kind;
    words >> key >> kind;
    if (key == "format") counts.text = kind == "ascii";
    double count = 0;
    if (key == "element" && words >> count) counts.elements += std::max(count, 0.0);
  }
  return counts;
}

std::size_t lines_from(const std::filesystem::path& file, std::size_t offset) {
  std::ifstream in(file, std::ios::binary);
  in.seekg(static_cast<std::streamoff>(offset));
  std::size_t lines = 0;
  for (std::string line; std::getline(in, line);)
    if (line.find_first_not_of(" \t\r") != std::string::npos) ++lines;
  return lines;
}

/// Assimp's reader never comes back from a header without an end, takes memory for whatever count a header claims, and
/// makes up the faces that a text is short of (5.2.5, seen). A text has a line an element, other data at least a byte.
std::string trouble_with_ply(const std::filesystem::path& file, const std::string& head) {
  if (head.substr(0, 3) != "ply") return "it is no PLY file";
  const auto size = header_size(head);
  if (!size) return "its header has no end";
  const PlyCounts counts = counts_of(head.substr(0, *size));
  std::error_code error;
  const auto bytes = std::filesystem::file_size(file, error);
  const bool enough = counts.elements <= static_cast<double>(bytes) &&
                      (!counts.text || counts.elements <= static_cast<double>(lines_from(file, *size)));
  return enough ? "" : "it ends before all its elements";
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
  if (ending == ".ply") return trouble_with_ply(file, head);
  if (ending == ".glb" && head.substr(0, 4) != "glTF") return "it is no GLB file";
  if (ending == ".gltf" && !begins_as_json(head)) return "it is no glTF file";
  if (ending == ".3mf" && head.substr(0, 2) != "PK") return "it is no 3MF file";
  return {};
}

bool ends_within_a_line(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  in.seekg(-1, std::ios::end);
  const int last = in.get();
  return in.good() && last != '\n' && last != '\r';
}

}  // namespace cellproof
