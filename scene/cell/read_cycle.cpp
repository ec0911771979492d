// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"
#include "scene/cell/frame_names.hpp"

namespace cellproof {
namespace {

constexpr std::string_view speed_keys[] = {"joint_speed",       "joint_acceleration", "tool_speed",
                                           "tool_acceleration", "tool_turn",          "tool_turn_acceleration"};

double read_fraction(const TomlTable& table, std::string_view key, double otherwise) {
  const auto item = table.optional(key);
  if (!item) return otherwise;
  const double fraction = item->fraction(Sign::positive);
  if (fraction > 1) item->fail("is above 1", "write a fraction of the joint limits: 0.5 or \"50 %\" for half");
  return fraction;
}

/// The seats that the user lists, "rack" taken as "rack 1".
std::vector<std::string> read_seat_list(const TomlItem& item, const std::vector<Seat>& seats) {
  std::vector<std::string> names;
  for (const TomlItem& entry : item.list()) {
    std::string name = read_use(entry, Wanted::seat);
    if (is_slot(name)) entry.fail("is a slot, not a seat", "list seats");
    for (const Seat& seat : seats)
      if (seat.name == name && seat.grid) name = seat_names(seat).front();
    if (std::find(names.begin(), names.end(), name) != names.end())
      entry.fail(fmt::format("names the seat \"{}\" a second time", name), "list each seat once");
    names.push_back(name);
  }
  if (names.empty()) item.fail("is an empty list", "list at least one seat");
  return names;
}

std::vector<std::string> read_each_seats(const TomlItem& item, const std::vector<Seat>& seats) {
  if (!item.is_text()) return read_seat_list(item, seats);
  const std::string name = item.text();
  for (const Seat& seat : seats)
    if (seat.name == name) return seat_names(seat);
  item.fail(fmt::format("there is no grid \"{}\"", name),
            "name a [[seat]] with a grid, or list seats: [\"rack 1\", …]");
  return {};
}

std::vector<Each> read_each(const TomlItem& item, const std::vector<Seat>& seats) {
  std::vector<Each> each;
  for (const auto& [slot, value] : item.entries()) {
    if (!is_slot(slot) || slot.size() < 2)
      value.fail(fmt::format("\"{}\" is no slot", slot), "let its name begin with @: \"@slot\"");
    each.push_back({slot, read_each_seats(value, seats)});
    if (each.back().seats.size() != each.front().seats.size())
      value.fail(fmt::format("has {} seats where {} has {}", each.back().seats.size(), each.front().slot,
                             each.front().seats.size()),
                 "slots advance together: give them equally many seats");
  }
  return each;
}

std::vector<std::string> read_others(const TomlItem& item) {
  std::vector<std::string> others;
  for (const TomlItem& entry : item.list()) others.push_back(read_use(entry, Wanted::part_or_none));
  if (others.empty()) item.fail("is an empty list", "write \"none\" or names of parts");
  return others;
}

}  // namespace

std::vector<std::string_view> with_speed_keys(std::vector<std::string_view> keys) {
  keys.insert(keys.end(), std::begin(speed_keys), std::end(speed_keys));
  return keys;
}

SpeedSettings read_speeds(const TomlTable& table, const SpeedSettings& otherwise) {
  constexpr Sign sign = Sign::positive;
  SpeedSettings speeds;
  speeds.joint_speed = read_fraction(table, "joint_speed", otherwise.joint_speed);
  speeds.joint_acceleration = read_fraction(table, "joint_acceleration", otherwise.joint_acceleration);
  speeds.tool_speed = optional_quantity(table, "tool_speed", Kind::speed, sign, otherwise.tool_speed);
  speeds.tool_acceleration =
      optional_quantity(table, "tool_acceleration", Kind::acceleration, sign, otherwise.tool_acceleration);
  speeds.tool_turn = optional_quantity(table, "tool_turn", Kind::angular_speed, sign, otherwise.tool_turn);
  speeds.tool_turn_acceleration = optional_quantity(table, "tool_turn_acceleration", Kind::angular_acceleration, sign,
                                                    otherwise.tool_turn_acceleration);
  return speeds;
}

CycleEntry read_cycle(const TomlItem& item, const std::vector<Seat>& seats) {
  const TomlTable table = item.table(with_speed_keys({"start", "each", "others", "same_configuration"}));
  CycleEntry cycle;
  cycle.origin = table.where();
  cycle.start = read_joint_values(table.required("start"));
  if (const auto each = table.optional("each")) cycle.each = read_each(*each, seats);
  if (const auto others = table.optional("others")) {
    cycle.others = read_others(*others);
    if (cycle.each.empty())
      others->fail("fills the other seats of each, which is not there", "add each, or leave others out");
  }
  if (const auto same = table.optional("same_configuration")) {
    cycle.same_configuration = same->truth();
    if (cycle.same_configuration && cycle.each.empty())
      same->fail("is about the seats of each, which is not there", "add each, or leave same_configuration out");
  }
  cycle.speeds = read_speeds(table, {});
  return cycle;
}

}  // namespace cellproof
