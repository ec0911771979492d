// SPDX-License-Identifier: GPL-3.0-or-later
// The numbers of a PLY file one after the other. Every type of them is held by a double as it is.
#pragma once

#include <algorithm>
#include <array>
#include <cstring>

#include "scene/files/ply_header.hpp"
#include "scene/files/text_words.hpp"

namespace cellproof {

/// A line an element.
class PlyTextNumbers {
 public:
  explicit PlyTextNumbers(std::string_view data) : lines_(data), words_({}) {}

  /// False where no line is left.
  bool begin_element() {
    for (std::string_view line; lines_.next(line);) {
      words_ = Words(line);
      const Words ahead = words_;
      if (!words_.next().empty()) {
        words_ = ahead;
        return true;
      }
    }
    return false;
  }
  bool end_element() { return words_.next().empty(); }

  /// What the file says, whatever type it says it in. False where the line has no further word or it is no number.
  bool next(PlyType, double& number) { return decimal_number(words_.next(), number); }

  std::size_t bytes_left() const { return lines_.rest().size(); }
  bool more() const {
    return std::any_of(lines_.rest().begin(), lines_.rest().end(), [](char c) { return !is_blank(c); });
  }

 private:
  Lines lines_;
  Words words_;
};

class PlyBinaryNumbers {
 public:
  PlyBinaryNumbers(std::string_view data, bool big_endian) : rest_(data), big_endian_(big_endian) {}

  static bool begin_element() { return true; }
  static bool end_element() { return true; }

  /// False at the end of the file.
  bool next(PlyType type, double& number) {
    const std::size_t size = size_of(type);
    if (rest_.size() < size) return false;
    std::array<char, 8> bytes{};
    std::memcpy(bytes.data(), rest_.data(), size);
    rest_.remove_prefix(size);
    if (big_endian_) std::reverse(bytes.begin(), bytes.begin() + static_cast<std::ptrdiff_t>(size));
    number = number_in(bytes, type);
    return true;
  }

  std::size_t bytes_left() const { return rest_.size(); }
  bool more() const {
    return std::any_of(rest_.begin(), rest_.end(), [](char c) { return !is_blank(c); });
  }

 private:
  template <class Number>
  static double as(const std::array<char, 8>& bytes) {
    Number number;
    std::memcpy(&number, bytes.data(), sizeof number);
    return static_cast<double>(number);
  }

  static double number_in(const std::array<char, 8>& bytes, PlyType type) {
    switch (type) {
      case PlyType::int8:
        return as<std::int8_t>(bytes);
      case PlyType::uint8:
        return as<std::uint8_t>(bytes);
      case PlyType::int16:
        return as<std::int16_t>(bytes);
      case PlyType::uint16:
        return as<std::uint16_t>(bytes);
      case PlyType::int32:
        return as<std::int32_t>(bytes);
      case PlyType::uint32:
        return as<std::uint32_t>(bytes);
      case PlyType::float32:
        return as<float>(bytes);
      case PlyType::float64:
        return as<double>(bytes);
    }
    return 0;
  }

  std::string_view rest_;
  bool big_endian_;
};

}  // namespace cellproof
