// SPDX-License-Identifier: GPL-3.0-or-later
// Files out of a zip archive, for 3MF.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <string>
#include <string_view>

#include <tl/expected.hpp>

namespace cellproof {

struct ZipEntry {
  std::uint64_t packed = 0, size = 0, offset = 0;  ///< bytes; where its local header begins
  std::uint32_t crc = 0;
  unsigned method = 0;  ///< 0 stored, 8 deflated
  bool encrypted = false;
};

struct ZipArchive {
  std::string bytes;
  std::map<std::string, ZipEntry> entries;  ///< by name
};

/// Reads the directory of an archive (PKWARE's APPNOTE 6.3). Error: a clause.
tl::expected<ZipArchive, std::string> open_zip(const std::filesystem::path& file);

/// Unpacks one entry piece by piece into `take`, which may end it by returning false. Error: a clause: not there, a
/// packing not read, torn, or a checksum that does not fit.
tl::expected<void, std::string> unzip(const ZipArchive& archive, const std::string& name,
                                      const std::function<bool(std::string_view)>& take);

}  // namespace cellproof
