// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

Clamp read_clamp(const TomlItem& item) {
  const TomlTable table = item.table({"at", "force"});
  return {read_lengths2(table.required("at")), table.required("force").quantity(Kind::force, Sign::positive)};
}

std::vector<Clamp> read_clamps(const TomlItem& item) {
  std::vector<Clamp> clamps;
  for (const TomlItem& clamp : item.list()) clamps.push_back(read_clamp(clamp));
  if (item && clamps.empty()) item.fail("is an empty list", "give each clamp's place and force");
  return clamps;
}

std::vector<Vector2d> read_rests(const TomlItem& item) {
  std::vector<Vector2d> rests;
  for (const TomlItem& rest : item.list()) rests.push_back(read_lengths2(rest));
  if (rests.size() < 3)
    item.fail(fmt::format("has {} points, which make no support plane", rests.size()), "give at least three");
  return rests;
}

Range read_survey_range(const TomlItem& item, Kind kind) {
  constexpr double most_spots = 100000;
  const TomlTable table = item.table({"from", "to", "step"});
  const Range range{table.required("from").quantity(kind), table.required("to").quantity(kind),
                    table.required("step").quantity(kind, Sign::positive)};
  if (item.reading().failed()) return range;
  if (range.from > range.to) table.fail("runs from a larger value to a smaller one", "swap from and to");
  if (!((range.to - range.from) / range.step <= most_spots))
    table.fail("has more than 100000 steps", "make step larger");
  return range;
}

std::optional<Range> optional_range(const TomlTable& table, std::string_view key, Kind kind) {
  const auto item = table.optional(key);
  if (!item) return std::nullopt;
  return read_survey_range(*item, kind);
}

std::optional<int> optional_budget(const TomlTable& table) {
  const auto item = table.optional("budget");
  if (!item) return std::nullopt;
  return item->whole_number(1, 1000000);
}

}  // namespace

Hold read_hold(const TomlItem& item) {
  const TomlTable table =
      item.table({"name", "part", "seat", "suction", "clamps", "jaw", "friction", "rests", "cut", "hold_time"});
  Hold hold;
  hold.origin = table.where();
  hold.name = read_name(table, Sort::hold);
  hold.part = read_use(table.required("part"), Wanted::part);
  hold.seat = read_use(table.required("seat"), Wanted::seat);
  const std::string_view way = table.exactly_one({"suction", "clamps", "jaw"});
  if (way == "suction") hold.suction = read_uses(table.required("suction"), Wanted::suction);
  if (way == "clamps") hold.clamps = read_clamps(table.required("clamps"));
  if (way == "jaw") hold.jaw = read_use(table.required("jaw"), Wanted::jaw);
  hold.friction = read_friction(table);
  if (const auto rests = table.optional("rests")) hold.rests = read_rests(*rests);
  if (const auto cut = table.optional("cut")) hold.cut = read_cut(*cut);
  if (const auto time = table.optional("hold_time")) {
    hold.hold_time = time->quantity(Kind::time, Sign::not_negative);
    if (way == "suction")
      time->fail("is how long jaws or clamps take to close, and this holds by vacuum",
                 "leave hold_time out; give `confirm` of the place the time that the vacuum needs");
  }
  return hold;
}

Survey read_survey(const TomlItem& item) {
  const TomlTable table = item.table({"name", "move", "x", "y", "z", "yaw", "with", "budget"});
  Survey survey;
  survey.origin = table.where();
  survey.name = read_name(table, Sort::survey);
  survey.move = read_use(table.required("move"), Wanted::survey_mover);
  survey.x = optional_range(table, "x", Kind::length);
  survey.y = optional_range(table, "y", Kind::length);
  survey.z = optional_range(table, "z", Kind::length);
  survey.yaw = optional_range(table, "yaw", Kind::angle);
  survey.with = optional_use(table, "with", Wanted::survey);
  survey.budget = optional_budget(table);
  return survey;
}

}  // namespace cellproof
