// SPDX-License-Identifier: GPL-3.0-or-later
// What the head of a PLY file says is in it (G. Turk, The PLY Polygon File Format, 1994).
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <tl/expected.hpp>

namespace cellproof {

enum class PlyType { int8, uint8, int16, uint16, int32, uint32, float32, float64 };

std::size_t size_of(PlyType type);  ///< bytes

struct PlyProperty {
  std::string name;
  PlyType type = PlyType::float32;
  std::optional<PlyType> count;  ///< of a list: the type of its count, `type` is that of its entries
};

struct PlyElement {
  std::string name;
  std::uint64_t count = 0;
  std::vector<PlyProperty> properties;
};

struct PlyHeader {
  enum class Format { text, little_endian, big_endian } format = Format::text;
  std::vector<PlyElement> elements;
  std::size_t size = 0;  ///< bytes before the first of the data
};

/// Error: a clause.
tl::expected<PlyHeader, std::string> read_ply_header(std::string_view bytes);

/// No element of this kind takes fewer bytes: bounds a count before anything is made of it.
std::size_t least_bytes(const PlyElement& element, PlyHeader::Format format);

}  // namespace cellproof
