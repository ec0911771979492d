// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/page/html.hpp"

#include <fmt/format.h>

namespace cellproof {

namespace {

/// U+FFFE and U+FFFF are no characters and may not stand in a page: U+FFFD in their place.
void replace_noncharacters(std::string& html) {
  for (const char* none : {"\xef\xbf\xbe", "\xef\xbf\xbf"})
    for (std::size_t at = html.find(none); at != std::string::npos; at = html.find(none, at))
      html.replace(at, 3, "\xef\xbf\xbd");
}

}  // namespace

std::string html_text(std::string_view text) {
  std::string html;
  for (const char c : text) {
    switch (c) {
      case '&':
        html += "&amp;";
        break;
      case '<':
        html += "&lt;";
        break;
      case '>':
        html += "&gt;";
        break;
      case '"':
        html += "&quot;";
        break;
      default:
        html += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? ' ' : c;
    }
  }
  replace_noncharacters(html);
  return html;
}

std::string html_colour(const Colour& colour) {
  return fmt::format("#{:06x}", packed(colour) & 0xffffffU);
}

std::string html_figure(const Image& image, std::string_view alt, std::string_view caption) {
  const auto png = png_of(image);
  if (!png) return fmt::format("<p>{}</p>\n", html_text(png.error()));
  return fmt::format(
      "<figure><img width=\"{}\" height=\"{}\" alt=\"{}\" src=\"data:image/png;base64,{}\"/><figcaption>{}</figcaption>"
      "</figure>\n",
      image.width, image.height, html_text(alt), base64(*png), html_text(caption));
}

std::string html_list(const std::vector<std::string>& entries) {
  std::string html;
  for (const std::string& entry : entries) html += fmt::format("<li>{}</li>\n", html_text(entry));
  return html.empty() ? html : "<ul>\n" + html + "</ul>\n";
}

std::string html_section(std::string_view heading, const std::string& content) {
  if (content.empty()) return {};
  return fmt::format("<section>\n<h2>{}</h2>\n{}</section>\n", html_text(heading), content);
}

std::string base64(std::string_view bytes) {
  constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string text;
  text.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
    unsigned bits = 0;
    for (std::size_t k = 0; k < 3; ++k) bits = bits << 8 | (k < count ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k) text += k <= count ? letters[bits >> (18 - 6 * k) & 63U] : '=';
  }
  return text;
}

}  // namespace cellproof
