// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/part_file.hpp"

#include <cerrno>
#include <cstdint>
#include <cstring>
#include <random>
#include <utility>

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

namespace cellproof {

namespace {

namespace fs = std::filesystem;

constexpr int most_names = 100;  // tried, each one in 2^64: a name that is taken is no chance

std::string random_name() {
  std::random_device random;
  const std::uint64_t high = random();
  return fmt::format(".cellproof-{:016x}.part", high << 32 | random());
}

/// The error's number; 0 if all is written.
int write_and_close(int handle, std::string_view content) {
  int error = 0;
  while (!content.empty() && error == 0) {
    const ssize_t count = ::write(handle, content.data(), content.size());
    if (count < 0 && errno != EINTR) error = errno;
    if (count == 0) error = ENOSPC;
    if (count > 0) content.remove_prefix(static_cast<std::size_t>(count));
  }
  if (::close(handle) != 0 && error == 0) error = errno;
  return error;
}

}  // namespace

tl::expected<PartFile, std::string> PartFile::beside(const fs::path& target, std::string_view content) {
  for (int tried = 0; tried < most_names; ++tried) {
    fs::path path = target.parent_path() / random_name();
    const int handle = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (handle < 0 && errno == EEXIST) continue;
    if (handle < 0) return tl::unexpected(std::string(std::strerror(errno)));
    PartFile part(std::move(path));
    if (const int error = write_and_close(handle, content)) return tl::unexpected(std::string(std::strerror(error)));
    return part;
  }
  return tl::unexpected(std::string("its folder takes no new name"));
}

tl::expected<PartFile, std::string> PartFile::of_old(const fs::path& there) {
  for (int tried = 0; tried < most_names; ++tried) {
    fs::path path = there.parent_path() / random_name();
    if (::link(there.c_str(), path.c_str()) == 0) return PartFile(std::move(path));
    if (errno != EEXIST) return tl::unexpected(std::string(std::strerror(errno)));
  }
  return tl::unexpected(std::string("its folder takes no new name"));
}

PartFile::PartFile(PartFile&& other) noexcept : path_(std::exchange(other.path_, {})) {}

PartFile::~PartFile() {
  std::error_code ignored;
  if (!path_.empty()) fs::remove(path_, ignored);
}

std::string PartFile::put_in_place(const fs::path& target) {
  std::error_code trouble;
  fs::rename(path_, target, trouble);
  if (trouble) return trouble.message();
  path_.clear();
  return {};
}

bool write_to_device(const fs::path& device, std::string_view content) {
  const int handle = ::open(device.c_str(), O_WRONLY | O_CLOEXEC);
  return handle >= 0 && write_and_close(handle, content) == 0;
}

}  // namespace cellproof
