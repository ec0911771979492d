// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/ply_header.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <utility>

#include <fmt/format.h>

#include "scene/files/text_words.hpp"

namespace cellproof {

namespace {

constexpr std::array<std::pair<std::string_view, PlyType>, 16> types = {{{"char", PlyType::int8},
                                                                         {"int8", PlyType::int8},
                                                                         {"uchar", PlyType::uint8},
                                                                         {"uint8", PlyType::uint8},
                                                                         {"short", PlyType::int16},
                                                                         {"int16", PlyType::int16},
                                                                         {"ushort", PlyType::uint16},
                                                                         {"uint16", PlyType::uint16},
                                                                         {"int", PlyType::int32},
                                                                         {"int32", PlyType::int32},
                                                                         {"uint", PlyType::uint32},
                                                                         {"uint32", PlyType::uint32},
                                                                         {"float", PlyType::float32},
                                                                         {"float32", PlyType::float32},
                                                                         {"double", PlyType::float64},
                                                                         {"float64", PlyType::float64}}};

std::optional<PlyType> type_named(std::string_view name) {
  const auto* found = std::find_if(types.begin(), types.end(), [&](const auto& type) { return type.first == name; });
  return found == types.end() ? std::nullopt : std::optional(found->second);
}

std::string not_understood(std::string_view line) {
  return fmt::format("'{}' in its header is not understood", shown(line));
}

/// A clause where the line can't be used, else empty.
std::string take_format(Words words, PlyHeader& header) {
  const std::string_view name = words.next();
  if (name == "ascii")
    header.format = PlyHeader::Format::text;
  else if (name == "binary_little_endian")
    header.format = PlyHeader::Format::little_endian;
  else if (name == "binary_big_endian")
    header.format = PlyHeader::Format::big_endian;
  else
    return fmt::format("its format '{}' is none", shown(name));
  return words.next() == "1.0" ? "" : "it is not of version 1.0";
}

/// A count out of any range is more than any file holds.
std::string take_element(std::string_view line, Words words, PlyHeader& header) {
  PlyElement element;
  element.name = words.next();
  const std::string_view count = words.next();
  const bool digits = !count.empty() && count.find_first_not_of("0123456789") == std::string_view::npos;
  if (element.name.empty() || !digits || !words.next().empty()) return not_understood(line);
  if (!whole_number(count, element.count)) element.count = std::numeric_limits<std::uint64_t>::max();
  header.elements.push_back(std::move(element));
  return {};
}

std::string take_property(std::string_view line, Words words, PlyHeader& header) {
  PlyProperty property;
  std::string_view type = words.next();
  if (type == "list") {
    property.count = type_named(words.next());
    if (!property.count) return not_understood(line);
    type = words.next();
  }
  const auto known = type_named(type);
  property.name = words.next();
  if (!known || property.name.empty() || !words.next().empty() || header.elements.empty()) return not_understood(line);
  property.type = *known;
  header.elements.back().properties.push_back(std::move(property));
  return {};
}

std::string take_line(std::string_view line, PlyHeader& header) {
  Words words(line);
  const std::string_view key = words.next();
  if (key.empty() || key == "comment" || key == "obj_info") return {};
  if (key == "format") return take_format(words, header);
  if (key == "element") return take_element(line, words, header);
  if (key == "property") return take_property(line, words, header);
  return not_understood(line);
}

/// As the first line has it: a binary file's data may begin with what looks like the rest of one.
std::string_view line_end_of(std::string_view bytes) {
  const std::size_t at = bytes.find_first_of("\r\n");
  if (at == std::string_view::npos) return {};
  return bytes.substr(at, bytes.substr(at).starts_with("\r\n") ? 2 : 1);
}

}  // namespace

std::size_t size_of(PlyType type) {
  switch (type) {
    case PlyType::int8:
    case PlyType::uint8:
      return 1;
    case PlyType::int16:
    case PlyType::uint16:
      return 2;
    case PlyType::int32:
    case PlyType::uint32:
    case PlyType::float32:
      return 4;
    case PlyType::float64:
      return 8;
  }
  return 0;
}

tl::expected<PlyHeader, std::string> read_ply_header(std::string_view bytes) {
  const auto refused = [](std::string why) { return tl::unexpected(std::move(why)); };
  const std::string_view line_end = line_end_of(bytes);
  if (!bytes.starts_with("ply") || (bytes.size() > 3 && !bytes.substr(3).starts_with(line_end)))
    return refused("it is no PLY file");
  PlyHeader header;
  bool format = false;
  for (std::size_t begin = 3 + line_end.size(); begin < bytes.size();) {
    const std::size_t end = bytes.find(line_end, begin);
    if (end == std::string_view::npos) break;
    const std::string_view line = bytes.substr(begin, end - begin);
    begin = end + line_end.size();
    if (Words(line).next() == "end_header") {
      header.size = begin;
      if (!format) return refused("its header names no format");
      return header;
    }
    format = format || Words(line).next() == "format";
    if (std::string trouble = take_line(line, header); !trouble.empty()) return refused(std::move(trouble));
  }
  return refused("its header has no end");
}

std::size_t least_bytes(const PlyElement& element, PlyHeader::Format format) {
  std::size_t sum = 0;
  for (const PlyProperty& property : element.properties)
    sum += format == PlyHeader::Format::text ? 2 : size_of(property.count.value_or(property.type));  // a digit, a blank
  return sum;
}

}  // namespace cellproof
