// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/text_words.hpp"

#include <algorithm>
#include <cstdlib>

namespace cellproof {

std::string shown(std::string_view word) {
  std::string text(word.substr(0, 40));
  std::replace_if(
      text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, '?');
  return text;
}

bool decimal_number(std::string_view word, double& number) {
  if (word.starts_with('+')) word.remove_prefix(word.starts_with("+-") ? 0 : 1);
  const char* const last = word.data() + word.size();
  const auto [end, error] = std::from_chars(word.data(), last, number);
  if (end != last || error == std::errc::invalid_argument) return false;
  // Beyond the range of doubles only strtod tells whether it is 0 or infinity. Nothing here sets a locale.
  if (error == std::errc::result_out_of_range) number = std::strtod(std::string(word).c_str(), nullptr);
  return true;
}

}  // namespace cellproof
