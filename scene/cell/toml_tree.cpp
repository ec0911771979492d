// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/toml_tree.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include <fmt/format.h>
#include <toml++/toml.h>

#include "scene/basics/text_encoding.hpp"

namespace cellproof {
namespace {

using Place = std::pair<std::uint32_t, std::uint32_t>;

Place place_of(const toml::source_region& region) {
  return {region.begin.line, region.begin.column};
}

TomlValue converted(const toml::node& node);

TomlKeys converted_keys(const toml::table& table) {
  // The library sorts keys by name; the file's order matters (the first key of `each` names the run).
  std::vector<std::pair<Place, TomlEntry>> placed;
  for (const auto& [key, node] : table) {
    const Place place = place_of(key.source());
    TomlEntry entry{std::string(key.str()), converted(node)};
    if (!node.is_array_of_tables() && place.first > 0) entry.value.line = static_cast<int>(place.first);
    placed.emplace_back(place, std::move(entry));
  }
  std::stable_sort(placed.begin(), placed.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  TomlKeys keys;
  for (auto& [place, entry] : placed) keys.push_back(std::move(entry));
  return keys;
}

TomlList converted_list(const toml::array& array) {
  TomlList list;
  for (const toml::node& node : array) list.push_back(converted(node));
  return list;
}

TomlValue converted(const toml::node& node) {
  TomlValue result;
  result.line = static_cast<int>(node.source().begin.line);
  if (const auto* table = node.as_table())
    result.value = converted_keys(*table);
  else if (const auto* array = node.as_array())
    result.value = converted_list(*array);
  else if (const auto* text = node.as_string())
    result.value = text->get();
  else if (const auto* whole = node.as_integer())
    result.value = whole->get();
  else if (const auto* number = node.as_floating_point())
    result.value = number->get();
  else if (const auto* truth = node.as_boolean())
    result.value = truth->get();
  else
    result.value = TomlDate{};
  return result;
}

/// Dots after which no cell's key goes on; each is a level of nesting, and levels without end exhaust the stack.
constexpr int most_dots = 256;

/// The line (1-based) with a dotted key beyond all measure, or 0. Texts are skipped; a bracket, comma or = ends a key.
int line_of_endless_key(std::string_view text) {
  int line = 1, dots = 0;
  char quote = 0;
  bool comment = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char letter = text[i];
    if (letter == '\n') {
      ++line;
      dots = 0;
      quote = 0;
      comment = false;
    } else if (comment) {
      continue;
    } else if (quote) {
      if (letter == '\\' && quote == '"')
        ++i;
      else if (letter == quote)
        quote = 0;
    } else if (letter == '"' || letter == '\'') {
      quote = letter;
    } else if (letter == '#') {
      comment = true;
    } else if (letter == '.') {
      if (++dots > most_dots) return line;
    } else if (std::string_view("[]{},=").find(letter) != std::string_view::npos) {
      dots = 0;
    }
  }
  return 0;
}

TomlSyntaxError no_toml(int line, std::string_view what) {
  return {line, fmt::format("is not TOML here: {}", what), "correct the line; the file is TOML 1.0"};
}

std::optional<TomlSyntaxError> encoding_error(std::string_view text) {
  constexpr std::string_view mend = "save the file as UTF-8 in your editor";
  if (begins_as_utf16(text)) return TomlSyntaxError{1, "is UTF-16 text", std::string(mend)};
  const auto stray = first_not_utf8(text);
  if (!stray) return std::nullopt;
  const auto before = text.substr(0, *stray);
  const int line = 1 + static_cast<int>(std::count(before.begin(), before.end(), '\n'));
  return TomlSyntaxError{line, "holds a character that is not UTF-8", std::string(mend)};
}

}  // namespace

tl::expected<TomlValue, TomlSyntaxError> parse_toml(std::string_view text) {
  if (auto error = encoding_error(text)) return tl::make_unexpected(std::move(*error));
  if (const int line = line_of_endless_key(text); line > 0)
    return tl::make_unexpected(no_toml(line, fmt::format("a key has more than {} dots", most_dots)));
  try {
    return converted(toml::parse(text));
  } catch (const toml::parse_error& error) {
    return tl::make_unexpected(no_toml(static_cast<int>(error.source().begin.line), error.description()));
  }
}

}  // namespace cellproof
