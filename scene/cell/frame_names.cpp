// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/frame_names.hpp"

#include <algorithm>

#include <fmt/format.h>

namespace cellproof {

std::vector<std::string> seat_names(const Seat& seat) {
  if (!seat.grid) return {seat.name};
  std::vector<std::string> names;
  const int count = seat.grid->columns * seat.grid->rows;
  for (int number = 1; number <= count; ++number) names.push_back(fmt::format("{} {}", seat.name, number));
  return names;
}

Pose grid_offset(const Seat& seat, int index) {
  Pose offset = Pose::Identity();
  if (!seat.grid) return offset;
  const int row = index / seat.grid->columns, column = index % seat.grid->columns;
  offset.translation().x() = column * seat.grid->pitch[0];
  offset.translation().y() = row * seat.grid->pitch[1];
  return offset;
}

bool is_slot(std::string_view name) {
  return !name.empty() && name.front() == '@';
}

bool is_reserved(std::string_view name) {
  static constexpr std::string_view words[] = {"world",        "base",         "link1", "link2",  "link3",
                                               "link4",        "link5",        "link6", "flange", "arm",
                                               "surroundings", "end effector", "none"};
  return std::find(std::begin(words), std::end(words), name) != std::end(words);
}

}  // namespace cellproof
