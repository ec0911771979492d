// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/desk/watch.hpp"

#include <fstream>
#include <iterator>
#include <set>
#include <string>

#include "scene/basics/content_key.hpp"
#include "scene/cell/model_files.hpp"

namespace cellproof {

namespace fs = std::filesystem;

std::vector<fs::path> files_of(const Cell& cell) {
  std::set<fs::path> files{cell.file};
  for (const fs::path& model : model_files(cell)) files.insert(model);
  return {files.begin(), files.end()};
}

FileLooks look_at(const std::vector<fs::path>& files) {
  FileLooks looks;
  for (const fs::path& file : files) {
    FileLook look;
    std::error_code trouble;
    if (const auto size = fs::file_size(file, trouble); !trouble) look.size = static_cast<std::int64_t>(size);
    if (const auto time = fs::last_write_time(file, trouble); !trouble)
      look.changed_ns = time.time_since_epoch().count();
    looks[file] = look;
  }
  return looks;
}

std::optional<std::string> hash_of_file(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return std::nullopt;
  return content_hash(std::string{std::istreambuf_iterator<char>(in), {}});
}

Watch::Watch(std::vector<fs::path> files) : files_(std::move(files)), seen_(look_at(files_)), known_(hashes()) {}

Watch::Hashes Watch::hashes() const {
  Hashes all;
  for (const fs::path& file : files_) all[file] = hash_of_file(file);
  return all;
}

bool Watch::anything_new(double now_s) {
  FileLooks looks = look_at(files_);
  if (looks != seen_) {
    seen_ = std::move(looks);
    since_s_ = now_s;
    settled_ = false;
    return false;
  }
  if (settled_ || now_s - since_s_ < rest_s) return false;
  settled_ = true;
  Hashes now = hashes();
  if (now == known_) return false;
  known_ = std::move(now);
  return true;
}

}  // namespace cellproof
