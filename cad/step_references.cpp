// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/step_references.hpp"

#include <algorithm>
#include <iterator>
#include <vector>

#include <fmt/format.h>

namespace cellproof::cad {

namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
bool is_space(char c) {
  return c == ' ' || c == '\n' || c == '\r' || c == '\t';
}

/// Behind a text in quotes or a comment that begins at `at`; `at` itself where none does.
std::size_t behind_words(std::string_view text, std::size_t at) {
  if (text[at] == '\'') return std::min(text.find('\'', at + 1), text.size() - 1) + 1;
  if (text.substr(at, 2) == "/*") return std::min(text.find("*/", at + 2), text.size() - 2) + 2;
  return at;
}

/// Without leading zeros, so that equal numbers are equal words.
std::string_view number_at(std::string_view text, std::size_t from) {
  std::size_t end = from;
  while (end < text.size() && is_digit(text[end])) ++end;
  while (from + 1 < end && text[from] == '0') ++from;
  return text.substr(from, end - from);
}

void sort_once(std::vector<std::string_view>& numbers) {
  std::sort(numbers.begin(), numbers.end());
  numbers.erase(std::unique(numbers.begin(), numbers.end()), numbers.end());
}

}  // namespace

std::string missing_line(std::string_view text) {
  std::vector<std::string_view> borne, referred;
  for (std::size_t at = 0; at < text.size();) {
    if (const std::size_t behind = behind_words(text, at); behind > at) {
      at = behind;
      continue;
    }
    if (text[at++] != '#' || at >= text.size() || !is_digit(text[at])) continue;
    const std::string_view number = number_at(text, at);
    at = static_cast<std::size_t>(number.data() + number.size() - text.data());
    while (at < text.size() && is_space(text[at])) ++at;
    (at < text.size() && text[at] == '=' ? borne : referred).push_back(number);
  }
  sort_once(borne);
  sort_once(referred);
  std::vector<std::string_view> missing;
  std::set_difference(referred.begin(), referred.end(), borne.begin(), borne.end(), std::back_inserter(missing));
  return missing.empty() ? std::string() : fmt::format("#{}", missing.front());
}

}  // namespace cellproof::cad
