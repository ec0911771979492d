// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh file's text, line by line and word by word, and its numbers to the last bit.
#pragma once

#include <charconv>
#include <cstddef>
#include <string>
#include <string_view>

namespace cellproof {

/// Some editors put these bytes before a text's first line, which then would not be seen as the line it is.
constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

inline bool is_blank(char c) {
  return c == ' ' || c == '\t' || c == '\v' || c == '\f' || c == '\r' || c == '\n';
}

/// The last line has no line end, as in a text that was cut off.
inline bool ends_within_a_line(std::string_view text) {
  return !text.empty() && text.back() != '\n' && text.back() != '\r';
}

/// Words between blanks, front to back.
class Words {
 public:
  explicit Words(std::string_view text) : at_(text.data()), end_(text.data() + text.size()) {}

  /// Empty after the last.
  std::string_view next() {
    while (at_ != end_ && is_blank(*at_)) ++at_;
    const char* const begin = at_;
    while (at_ != end_ && !is_blank(*at_)) ++at_;
    return {begin, static_cast<std::size_t>(at_ - begin)};
  }
  /// What is behind the words taken.
  std::string_view rest() const { return {at_, static_cast<std::size_t>(end_ - at_)}; }

 private:
  const char* at_;
  const char* end_;
};

/// Lines ended by LF, CR LF or CR, without their ends; a byte order mark is passed over.
class Lines {
 public:
  explicit Lines(std::string_view text)
      : rest_(text.starts_with(byte_order_mark) ? text.substr(byte_order_mark.size()) : text) {}

  /// False after the last.
  bool next(std::string_view& line) {
    if (rest_.empty()) return false;
    const std::size_t length = rest_.find_first_of("\r\n");
    line = rest_.substr(0, length);
    ++number_;
    if (length == std::string_view::npos)
      rest_ = {};
    else
      rest_.remove_prefix(length + (rest_.substr(length).starts_with("\r\n") ? 2 : 1));
    return true;
  }
  /// Of the line given last, from 1.
  std::size_t number() const { return number_; }
  std::string_view rest() const { return rest_; }

 private:
  std::string_view rest_;
  std::size_t number_ = 0;
};

/// A word for a message: its first 40 bytes, without what would steer a terminal.
std::string shown(std::string_view word);

/// The double nearest to a decimal number, as strtod has it in the C locale; false if the whole word is none. "nan" and
/// "inf" are numbers too.
bool decimal_number(std::string_view word, double& number);

/// The whole word as a whole number that the type holds.
template <class Number>
bool whole_number(std::string_view word, Number& number) {
  if (word.starts_with('+')) word.remove_prefix(word.starts_with("+-") ? 0 : 1);
  const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), number);
  return error == std::errc() && end == word.data() + word.size();
}

}  // namespace cellproof
