// SPDX-License-Identifier: GPL-3.0-or-later
// The one way from JSON to text.
#pragma once

#include <string>

#include <nlohmann/json.hpp>

namespace cellproof {

using Json = nlohmann::ordered_json;

/// On one line, without its end. Names of files and of solids may hold any bytes: what is no UTF-8 becomes U+FFFD.
inline std::string json_line(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

/// Over many lines, for people too, the last one ended. Of bytes that are no UTF-8 the same.
inline std::string json_text(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace cellproof
