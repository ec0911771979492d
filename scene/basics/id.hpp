// SPDX-License-Identifier: GPL-3.0-or-later
// Which entry of a list is meant: a number of its own type for each kind of list, so that a body's can't be taken for a
// frame's, and none is not a number.
#pragma once

#include <cassert>
#include <compare>
#include <concepts>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <iterator>
#include <utility>
#include <vector>

namespace cellproof {

/// Names an entry in a list of `Of`, or none (so it starts). None comes before all others in order.
template <class Of>
class Id {
 public:
  constexpr Id() = default;
  /// Requires: not below 0.
  template <std::integral Number>
  constexpr explicit Id(Number index) : number_(static_cast<std::int32_t>(index)) {
    assert(has_value());
  }

  constexpr bool has_value() const { return number_ >= 0; }
  constexpr explicit operator bool() const { return has_value(); }
  /// Place in the list, from 0. Requires: not none.
  constexpr std::size_t index() const {
    assert(has_value());
    return static_cast<std::size_t>(number_);
  }
  friend constexpr bool operator==(const Id&, const Id&) = default;
  friend constexpr auto operator<=>(const Id&, const Id&) = default;

 private:
  std::int32_t number_ = -1;
};

/// Ids one after the other: `for (const BodyId body : ids_of(scene.bodies))`.
template <class Of>
class IdRange {
 public:
  class Iterator {
   public:
    using value_type = Id<Of>;
    using reference = Id<Of>;
    using pointer = const Id<Of>*;
    using difference_type = std::ptrdiff_t;
    using iterator_category = std::forward_iterator_tag;

    constexpr Iterator() = default;
    constexpr explicit Iterator(std::size_t index) : index_(index) {}
    constexpr Id<Of> operator*() const { return Id<Of>(index_); }
    constexpr Iterator& operator++() {
      ++index_;
      return *this;
    }
    constexpr Iterator operator++(int) {
      const Iterator before = *this;
      ++index_;
      return before;
    }
    friend constexpr bool operator==(const Iterator&, const Iterator&) = default;

   private:
    std::size_t index_ = 0;
  };

  constexpr IdRange(std::size_t first, std::size_t end) : first_(first), end_(end) {}
  constexpr Iterator begin() const { return Iterator(first_); }
  constexpr Iterator end() const { return Iterator(end_); }

 private:
  std::size_t first_, end_;
};

/// The ids of all entries, in their order.
template <class Of>
constexpr IdRange<Of> ids_of(const std::vector<Of>& list) {
  return {0, list.size()};
}

/// The ids of the entries after this one, in their order.
template <class Of>
constexpr IdRange<Of> ids_after(Id<Of> id, const std::vector<Of>& list) {
  return {id.index() + 1, list.size()};
}

/// A value for each entry of a list of `Of`, asked for by the entry's id.
template <class Of, class Value>
class ById {
 public:
  ById() = default;
  explicit ById(std::size_t count, const Value& value = Value()) : values_(count, value) {}

  Value& operator[](Id<Of> id) { return values_[id.index()]; }
  const Value& operator[](Id<Of> id) const { return values_[id.index()]; }

  std::size_t size() const { return values_.size(); }
  bool empty() const { return values_.empty(); }
  void reserve(std::size_t count) { values_.reserve(count); }
  void push_back(Value value) { values_.push_back(std::move(value)); }
  IdRange<Of> ids() const { return {0, values_.size()}; }
  auto begin() { return values_.begin(); }
  auto end() { return values_.end(); }
  auto begin() const { return values_.begin(); }
  auto end() const { return values_.end(); }
  friend bool operator==(const ById&, const ById&) = default;

 private:
  std::vector<Value> values_;
};

}  // namespace cellproof

template <class Of>
struct std::hash<cellproof::Id<Of>> {
  std::size_t operator()(cellproof::Id<Of> id) const noexcept { return id ? id.index() + 1 : 0; }
};
