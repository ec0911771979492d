// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/input_error.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace cellproof {

std::string InputError::text() const {
  std::string place = line > 0 ? fmt::format("{}:{}", file, line) : file;
  std::string result;
  const auto add = [&result](const std::string& piece, const char* between) {
    if (piece.empty()) return;
    if (!result.empty()) result += between;
    result += piece;
  };
  add(place, "");
  add(key, ": ");
  add(what, ": ");
  add(mend, "; ");
  // A name in the file may hold a line break; the message stays one line.
  std::replace_if(
      result.begin(), result.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20; }, ' ');
  return result;
}

}  // namespace cellproof
