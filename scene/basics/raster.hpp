// SPDX-License-Identifier: GPL-3.0-or-later
// Values in columns and rows: what stands behind the samples of a picture, or on the cells of a target.
#pragma once

#include <cstddef>
#include <vector>

namespace cellproof {

/// How many cells come before this one, row by row from the top left.
constexpr std::size_t raster_place(int columns, int column, int row) {
  return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) + static_cast<std::size_t>(column);
}

/// A value in each cell, row by row from the top left; `place` counts cells in that order.
template <class Value>
class Raster {
 public:
  Raster() = default;
  Raster(int columns, int rows, const Value& value = Value())
      : columns_(columns), rows_(rows), values_(raster_place(columns, 0, rows), value) {}

  int columns() const { return columns_; }
  int rows() const { return rows_; }
  std::size_t size() const { return values_.size(); }

  Value& at(int column, int row) { return values_[raster_place(columns_, column, row)]; }
  const Value& at(int column, int row) const { return values_[raster_place(columns_, column, row)]; }
  Value& operator[](std::size_t place) { return values_[place]; }
  const Value& operator[](std::size_t place) const { return values_[place]; }

  std::size_t place(int column, int row) const { return raster_place(columns_, column, row); }
  int column_of(std::size_t place) const { return static_cast<int>(place % width()); }
  int row_of(std::size_t place) const { return static_cast<int>(place / width()); }

  auto begin() { return values_.begin(); }
  auto end() { return values_.end(); }
  auto begin() const { return values_.begin(); }
  auto end() const { return values_.end(); }
  friend bool operator==(const Raster&, const Raster&) = default;
  /// The first cell of a row.
  auto row_begin(int row) { return values_.begin() + static_cast<std::ptrdiff_t>(raster_place(columns_, 0, row)); }

 private:
  std::size_t width() const { return raster_place(columns_, 0, 1); }

  int columns_ = 0, rows_ = 0;
  std::vector<Value> values_;
};

}  // namespace cellproof
