// SPDX-License-Identifier: GPL-3.0-or-later
// The number of an entry in a table. A body's number can't be taken for a frame's.
#pragma once

#include <cassert>
#include <compare>
#include <cstddef>
#include <functional>
#include <string_view>
#include <utility>
#include <vector>

namespace cellproof {

/// Numbers the entries of one table, from 0. None unless it is given a number.
template <class Entry>
class Id {
 public:
  constexpr Id() = default;
  constexpr explicit Id(std::size_t index) : number_(static_cast<int>(index)) {}

  /// False for none.
  constexpr explicit operator bool() const { return number_ >= 0; }
  /// Not to be asked of none.
  constexpr std::size_t index() const {
    assert(number_ >= 0);
    return static_cast<std::size_t>(number_);
  }
  /// None comes first.
  constexpr auto operator<=>(const Id&) const = default;

 private:
  int number_ = -1;
};

/// All ids of a table, in order.
template <class Key>
class IdRange {
 public:
  class Iterator {
   public:
    constexpr explicit Iterator(std::size_t index) : index_(index) {}
    constexpr Key operator*() const { return Key(index_); }
    constexpr Iterator& operator++() {
      ++index_;
      return *this;
    }
    constexpr bool operator==(const Iterator&) const = default;

   private:
    std::size_t index_;
  };

  constexpr explicit IdRange(std::size_t count) : count_(count) {}
  constexpr Iterator begin() const { return Iterator(0); }
  constexpr Iterator end() const { return Iterator(count_); }

 private:
  std::size_t count_;
};

/// A vector that only its own kind of id can index.
template <class Key, class Entry>
class Table : public std::vector<Entry> {
 public:
  using std::vector<Entry>::vector;
  Table(std::vector<Entry> entries) : std::vector<Entry>(std::move(entries)) {}

  Entry& operator[](Key id) {
    assert(id.index() < this->size());
    return std::vector<Entry>::operator[](id.index());
  }
  const Entry& operator[](Key id) const {
    assert(id.index() < this->size());
    return std::vector<Entry>::operator[](id.index());
  }

  /// The id of the entry that was added last.
  Key last_id() const { return Key(this->size() - 1); }
};

template <class Key, class Entry>
IdRange<Key> ids_of(const Table<Key, Entry>& table) {
  return IdRange<Key>(table.size());
}

/// The id of the entry with that `name`, none if there is none.
template <class Key, class Entry>
Key id_named(const Table<Key, Entry>& entries, std::string_view name) {
  for (const Key id : ids_of(entries))
    if (entries[id].name == name) return id;
  return {};
}

}  // namespace cellproof

template <class Entry>
struct std::hash<cellproof::Id<Entry>> {
  std::size_t operator()(const cellproof::Id<Entry>& id) const noexcept {
    return id ? std::hash<std::size_t>{}(id.index()) : ~std::size_t{0};
  }
};
