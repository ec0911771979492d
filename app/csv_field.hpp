// SPDX-License-Identifier: GPL-3.0-or-later
// A text as a field of a CSV line (RFC 4180).
#pragma once

#include <string>

namespace cellproof {

inline std::string csv_field(const std::string& text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string quoted = "\"";
  for (const char c : text) quoted += c == '"' ? "\"\"" : std::string(1, c);
  return quoted + "\"";
}

}  // namespace cellproof
