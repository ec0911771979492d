// SPDX-License-Identifier: GPL-3.0-or-later
// Lists and places in them without a change of sign: Eigen and iterators count in signed numbers, std's lists in
// unsigned ones.
#pragma once

#include <array>
#include <concepts>
#include <cstddef>
#include <iterator>
#include <type_traits>

namespace cellproof {

template <class Number>
concept NumberOrEnumerator = std::integral<Number> || std::is_enum_v<Number>;

/// A std::array that takes a number of either kind, or an enumerator.
template <class Value, std::size_t count>
struct Numbered : std::array<Value, count> {
  template <NumberOrEnumerator Number>
  constexpr Value& operator[](Number number) {
    return std::array<Value, count>::operator[](static_cast<std::size_t>(number));
  }
  template <NumberOrEnumerator Number>
  constexpr const Value& operator[](Number number) const {
    return std::array<Value, count>::operator[](static_cast<std::size_t>(number));
  }
};

template <class Value>
using ByJoint = Numbered<Value, 6>;  ///< [0] is joint 1's
template <class Value>
using ByLink = Numbered<Value, 7>;  ///< [0] is the base's, [6] the last link's

/// Which entry of the list an iterator stands at; its size at the end.
template <class List>
std::size_t place_in(const List& list, typename List::const_iterator at) {
  return static_cast<std::size_t>(at - list.begin());
}

}  // namespace cellproof
