// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/tessellation_cache.hpp"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <system_error>

#include <fmt/format.h>
#include <unistd.h>

#include "scene/files/tessellation.hpp"

namespace cellproof {

namespace {

namespace fs = std::filesystem;

/// By the XDG base directory specification: a path that is not absolute is ignored. Empty if there is none.
fs::path cache_folder() {
  if (const char* stated = std::getenv("XDG_CACHE_HOME"); stated && fs::path(stated).is_absolute())
    return fs::path(stated) / "cellproof";
  if (const char* home = std::getenv("HOME"); home && fs::path(home).is_absolute())
    return fs::path(home) / ".cache" / "cellproof";
  return {};
}

fs::path entry(const fs::path& folder, const std::string& key) {
  return folder / (key + ".triangles");
}

bool put_into(const fs::path& file, std::string_view bytes) {
  std::ofstream out(file, std::ios::binary);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  return !out.fail();
}

}  // namespace

std::optional<Mesh> cached_tessellation(const std::string& key) {
  const fs::path folder = cache_folder();
  if (folder.empty()) return std::nullopt;
  std::ifstream in(entry(folder, key), std::ios::binary | std::ios::ate);
  if (!in) return std::nullopt;
  const auto size = in.tellg();
  if (size <= 0) return std::nullopt;
  std::string bytes(static_cast<std::size_t>(size), '\0');
  in.seekg(0);
  if (!in.read(bytes.data(), size)) return std::nullopt;
  return tessellation_of(bytes);
}

void keep_tessellation(const std::string& key, std::string_view bytes) {
  const fs::path folder = cache_folder();
  if (folder.empty()) return;
  std::error_code trouble, ignored;
  fs::create_directories(folder, trouble);
  if (trouble) return;
  const fs::path beside = folder / fmt::format("{}-{}-{:08x}.part", key, ::getpid(), std::random_device{}());
  if (put_into(beside, bytes)) fs::rename(beside, entry(folder, key), trouble);
  fs::remove(beside, ignored);
}

}  // namespace cellproof
