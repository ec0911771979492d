// SPDX-License-Identifier: GPL-3.0-or-later
// Watches the cell file and its models: tells once what is new has come to rest.
#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// The cell file and every model that it names, as paths that can be opened.
std::vector<std::filesystem::path> files_of(const Cell& cell);

/// How a file looks from outside; size -1 if it is not there.
struct FileLook {
  std::int64_t size = -1, changed_ns = 0;
  bool operator==(const FileLook&) const = default;
};
using FileLooks = std::map<std::filesystem::path, FileLook>;
FileLooks look_at(const std::vector<std::filesystem::path>& files);

/// The key of all bytes of a file, none if it can't be read.
std::optional<std::string> hash_of_file(const std::filesystem::path& file);

/// Tells whether there is anything new. It waits until no file has changed its look for `rest_s`, so that a program in
/// the midst of writing is left to finish, and then compares contents: a file that was written again with the same
/// bytes is nothing new.
class Watch {
 public:
  static constexpr double rest_s = 0.4;

  /// What the files hold now is what is known.
  explicit Watch(std::vector<std::filesystem::path> files);

  /// True once for everything new. `now_s` is a clock of the caller's own, only ever compared with itself.
  bool anything_new(double now_s);

 private:
  using Hashes = std::map<std::filesystem::path, std::optional<std::string>>;
  Hashes hashes() const;

  std::vector<std::filesystem::path> files_;
  FileLooks seen_;
  double since_s_ = 0;   ///< when what is seen was seen first
  bool settled_ = true;  ///< what is seen has been compared
  Hashes known_;
};

}  // namespace cellproof
