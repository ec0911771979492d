// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

constexpr int most_in_a_row = 1000;
constexpr int most_seats = 10000;

Grid read_grid(const TomlItem& item) {
  const TomlTable table = item.table({"columns", "rows", "pitch"});
  Grid grid;
  grid.columns = table.required("columns").whole_number(1, most_in_a_row);
  grid.rows = table.required("rows").whole_number(1, most_in_a_row);
  if (grid.columns * grid.rows > most_seats) table.fail("has more than 10000 seats", "make several grids of it");
  const TomlItem pitch = table.required("pitch");
  const Vector2d steps = read_lengths2(pitch);
  grid.pitch = {steps.x(), steps.y()};
  if ((grid.columns > 1 && steps.x() == 0) || (grid.rows > 1 && steps.y() == 0))
    pitch.fail("puts several seats in one place", "write the distance from seat to seat along x and y");
  return grid;
}

}  // namespace

Seat read_seat(const TomlItem& item) {
  const TomlTable table = item.table({"name", "on", "at", "grid"});
  Seat seat;
  seat.origin = table.where();
  seat.name = read_name(table, Sort::seat);
  seat.placed = read_placed(table, "world");
  if (const auto grid = table.optional("grid")) seat.grid = read_grid(*grid);
  return seat;
}

}  // namespace cellproof
