// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/byte_blocks.hpp"

#include <cstdint>
#include <cstring>

namespace cellproof {

std::string joined_blocks(const std::vector<std::string>& blocks) {
  std::string bytes;
  for (const std::string& block : blocks) {
    const std::uint64_t length = block.size();
    bytes.append(reinterpret_cast<const char*>(&length), sizeof length);
    bytes += block;
  }
  return bytes;
}

std::optional<std::vector<std::string_view>> separate_blocks(std::string_view bytes) {
  std::vector<std::string_view> blocks;
  while (!bytes.empty()) {
    std::uint64_t length = 0;
    if (bytes.size() < sizeof length) return std::nullopt;
    std::memcpy(&length, bytes.data(), sizeof length);
    bytes.remove_prefix(sizeof length);
    if (length > bytes.size()) return std::nullopt;
    blocks.push_back(bytes.substr(0, length));
    bytes.remove_prefix(length);
  }
  return blocks;
}

}  // namespace cellproof
