// SPDX-License-Identifier: GPL-3.0-or-later
// A file that is written beside its place before it is put there.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

#include <tl/expected.hpp>

namespace cellproof {

/// Whole on the disk under a name of its own; removed when this ends, unless it was put in place.
class PartFile {
 public:
  /// In the folder of `target`, with a random name that no file had before. Error: a clause.
  static tl::expected<PartFile, std::string> beside(const std::filesystem::path& target, std::string_view content);

  PartFile(PartFile&& other) noexcept;
  PartFile& operator=(PartFile&&) = delete;
  ~PartFile();

  /// What is there now, kept under a name of its own in the same folder. Error: a clause; the folder's disk may know no
  /// second name of a file.
  static tl::expected<PartFile, std::string> of_old(const std::filesystem::path& there);

  /// In place of what may be there. A clause: what is wrong; empty if nothing is.
  std::string put_in_place(const std::filesystem::path& target);

 private:
  explicit PartFile(std::filesystem::path path) : path_(std::move(path)) {}
  std::filesystem::path path_;  ///< empty: nothing to remove
};

/// False if the device or pipe does not take it all.
bool write_to_device(const std::filesystem::path& device, std::string_view content);

}  // namespace cellproof
