// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/whole_file.hpp"

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <system_error>

#include <fmt/format.h>
#include <unistd.h>

namespace cellproof {

tl::expected<void, std::string> write_whole(const std::string& file, std::string_view content) {
  if (file == "-") {
    std::fwrite(content.data(), 1, content.size(), stdout);
    return {};
  }
  const std::string beside = fmt::format("{}.{}.part", file, ::getpid());
  {
    std::ofstream out(beside, std::ios::binary);
    out.write(content.data(), static_cast<std::streamsize>(content.size()));
    out.flush();
    if (!out) {
      std::error_code ignored;
      std::filesystem::remove(beside, ignored);
      return tl::unexpected(fmt::format("'{}' can't be written", file));
    }
  }
  std::error_code failed;
  std::filesystem::rename(beside, file, failed);
  if (!failed) return {};
  std::error_code ignored;
  std::filesystem::remove(beside, ignored);
  return tl::unexpected(fmt::format("'{}' can't be written: {}", file, failed.message()));
}

}  // namespace cellproof
