// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/whole_file.hpp"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <system_error>

#include <fmt/format.h>
#include <unistd.h>

namespace cellproof {

namespace {

namespace fs = std::filesystem;

using Written = tl::expected<void, std::string>;

Written failed(const std::string& file, const std::string& why) {
  return tl::unexpected(fmt::format("'{}' can't be written: {}; choose another file", file, why));
}

bool put_into(const fs::path& file, std::string_view content) {
  std::ofstream out(file, std::ios::binary);
  out.write(content.data(), static_cast<std::streamsize>(content.size()));
  out.close();
  return !out.fail();
}

/// The file behind a link, so that the link stays one.
fs::path behind_links(const fs::path& file) {
  std::error_code none;
  const fs::path target = fs::canonical(file, none);
  return none ? file : target;
}

Written put_in_place(const std::string& file, const fs::path& target, std::string_view content) {
  const fs::path beside = target.parent_path() / fmt::format(".cellproof-{}.part", ::getpid());
  std::error_code trouble, ignored;
  errno = 0;
  if (!put_into(beside, content)) {
    const int why = errno;
    fs::remove(beside, ignored);
    return failed(file, why ? std::strerror(why) : "its disk may be full");
  }
  fs::rename(beside, target, trouble);
  if (!trouble) return {};
  fs::remove(beside, ignored);
  return failed(file, trouble.message());
}

}  // namespace

Written write_whole(const std::string& file, std::string_view content) {
  if (file == "-") {
    std::fwrite(content.data(), 1, content.size(), stdout);
    return {};
  }
  const fs::path target = behind_links(file);
  std::error_code none;
  const fs::file_status there = fs::status(target, none);
  if (fs::is_directory(there)) return failed(file, "it is a folder");
  if (!fs::exists(there) || fs::is_regular_file(there)) return put_in_place(file, target, content);
  // A device or a pipe is no file to put another in the place of.
  if (!put_into(target, content)) return failed(file, "the device does not take it");
  return {};
}

}  // namespace cellproof
