// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/text_encoding.hpp"

#include <array>
#include <cstdint>

namespace cellproof {
namespace {

/// The characters that so many bytes may stand for: RFC 3629, section 3.
struct Width {
  std::uint32_t lead_mask, lead, least, most;
};
constexpr std::array<Width, 4> widths = {
    {{0x80, 0x00, 0, 0x7f}, {0xe0, 0xc0, 0x80, 0x7ff}, {0xf0, 0xe0, 0x800, 0xffff}, {0xf8, 0xf0, 0x10000, 0x10ffff}}};

std::uint32_t byte_at(std::string_view bytes, std::size_t at) {
  return static_cast<unsigned char>(bytes[at]);
}

/// How many bytes the character at a place has; 0 where none begins.
std::size_t length_at(std::string_view bytes, std::size_t at) {
  const std::uint32_t lead = byte_at(bytes, at);
  for (std::size_t more = 0; more < widths.size(); ++more) {
    const Width& width = widths[more];
    if ((lead & width.lead_mask) != width.lead) continue;
    if (at + more >= bytes.size()) return 0;
    std::uint32_t character = lead & ~width.lead_mask;
    for (std::size_t i = 1; i <= more; ++i) {
      if ((byte_at(bytes, at + i) & 0xc0) != 0x80) return 0;
      character = character << 6 | (byte_at(bytes, at + i) & 0x3f);
    }
    const bool surrogate = character >= 0xd800 && character <= 0xdfff;
    return character >= width.least && character <= width.most && !surrogate ? more + 1 : 0;
  }
  return 0;
}

}  // namespace

std::optional<std::size_t> first_not_utf8(std::string_view bytes) {
  for (std::size_t at = 0; at < bytes.size();) {
    const std::size_t length = length_at(bytes, at);
    if (length == 0) return at;
    at += length;
  }
  return std::nullopt;
}

bool begins_as_utf16(std::string_view bytes) {
  return bytes.starts_with("\xff\xfe") || bytes.starts_with("\xfe\xff");
}

}  // namespace cellproof
