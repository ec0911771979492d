// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/fixed_text.hpp"

#include <fmt/format.h>

namespace cellproof {

std::string fixed_text(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find_first_of("123456789") == std::string::npos && text.front() == '-') text.erase(0, 1);
  return text;
}

std::string fixed_turn_text(double degrees, int decimals) {
  const std::string text = fixed_text(degrees, decimals);
  return text == fixed_text(-180, decimals) ? fixed_text(180, decimals) : text;
}

}  // namespace cellproof
