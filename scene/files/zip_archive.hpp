// SPDX-License-Identifier: GPL-3.0-or-later
// Files out of a zip archive, for 3MF.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include <tl/expected.hpp>

struct zip;

namespace cellproof {

struct ZipCloser {
  void operator()(zip* archive) const;
};

/// An archive that libzip has open.
using ZipArchive = std::unique_ptr<zip, ZipCloser>;

/// Reads the directory of an archive. Error: a clause.
tl::expected<ZipArchive, std::string> open_zip(const std::filesystem::path& file);

/// Unpacks one entry piece by piece into `take`, which may end it by returning false. Error: a clause: not there, a
/// packing not read, larger than 1 GiB, torn, or a size or checksum that does not fit.
tl::expected<void, std::string> unzip(const ZipArchive& archive, const std::string& name,
                                      const std::function<bool(std::string_view)>& take);

}  // namespace cellproof
