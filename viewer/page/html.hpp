// SPDX-License-Identifier: GPL-3.0-or-later
// Text and pictures as they stand in a page.
#pragma once

#include <string>
#include <string_view>

#include "viewer/pictures/image.hpp"

namespace cellproof {

/// Names and sentences: what would be markup is written as itself, control characters are spaces.
std::string html_text(std::string_view text);

/// "#rrggbb"
std::string html_colour(const Colour& colour);

/// A picture within the page, with its caption; `alt` is what it shows, in words.
std::string html_figure(const Image& image, std::string_view alt, std::string_view caption);

/// A list; empty without entries.
std::string html_list(const std::vector<std::string>& entries);

/// A section under a heading; empty without content.
std::string html_section(std::string_view heading, const std::string& content);

/// Bytes in the sixty-four letters of RFC 4648.
std::string base64(std::string_view bytes);

}  // namespace cellproof
