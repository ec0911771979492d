// SPDX-License-Identifier: GPL-3.0-or-later
// Whether bytes are text as this program reads it: UTF-8 (RFC 3629).
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

namespace cellproof {

/// Where the first byte stands that no UTF-8 text has there: a stray one, a character cut short or written longer than
/// it needs, a surrogate, or one beyond U+10FFFF. None if all of it is UTF-8.
std::optional<std::size_t> first_not_utf8(std::string_view bytes);

/// True for a text that begins as UTF-16 does, with its byte order mark.
bool begins_as_utf16(std::string_view bytes);

}  // namespace cellproof
