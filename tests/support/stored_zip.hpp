// SPDX-License-Identifier: GPL-3.0-or-later
// A zip archive with its files stored as they are, by hand: for 3MF files written in tests.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

namespace cellproof::test {

inline std::uint32_t crc32_of(const std::string& bytes) {
  std::uint32_t crc = 0xffffffff;
  for (const char c : bytes) {
    crc ^= static_cast<unsigned char>(c);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ ((crc & 1) ? 0xedb88320U : 0U);
  }
  return ~crc;
}

inline void put_number(std::string& to, std::uint32_t number, int bytes) {
  for (int i = 0; i < bytes; ++i) to.push_back(static_cast<char>((number >> (8 * i)) & 0xff));
}

/// The part of a header that local and central entries share.
inline std::string entry_of(const std::string& name, const std::string& content) {
  std::string entry;
  put_number(entry, 20, 2);  // version
  put_number(entry, 0, 2);   // flags
  put_number(entry, 0, 2);   // stored
  put_number(entry, 0, 2);   // time
  put_number(entry, 33, 2);  // 1 January 1980
  put_number(entry, crc32_of(content), 4);
  put_number(entry, static_cast<std::uint32_t>(content.size()), 4);
  put_number(entry, static_cast<std::uint32_t>(content.size()), 4);
  put_number(entry, static_cast<std::uint32_t>(name.size()), 2);
  put_number(entry, 0, 2);  // no extra field
  return entry;
}

inline std::string stored_zip(const std::vector<std::pair<std::string, std::string>>& files) {
  std::string zip, directory;
  for (const auto& [name, content] : files) {
    const auto offset = static_cast<std::uint32_t>(zip.size());
    zip += "PK\x03\x04" + entry_of(name, content) + name + content;
    directory += "PK\x01\x02";
    put_number(directory, 20, 2);
    directory += entry_of(name, content);
    put_number(directory, 0, 2);  // no comment
    put_number(directory, 0, 2);  // disk
    put_number(directory, 0, 2);
    put_number(directory, 0, 4);
    put_number(directory, offset, 4);
    directory += name;
  }
  const auto start = static_cast<std::uint32_t>(zip.size());
  zip += directory + "PK\x05\x06";
  put_number(zip, 0, 4);
  for (int i = 0; i < 2; ++i) put_number(zip, static_cast<std::uint32_t>(files.size()), 2);
  put_number(zip, static_cast<std::uint32_t>(directory.size()), 4);
  put_number(zip, start, 4);
  put_number(zip, 0, 2);
  return zip;
}

}  // namespace cellproof::test
