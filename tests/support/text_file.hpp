// SPDX-License-Identifier: GPL-3.0-or-later
// A whole file's bytes.
#pragma once

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

/// Empty where the file can't be read.
inline std::string content_of(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}
