// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/cell_file.hpp"

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"
#include "scene/cell/supply.hpp"

namespace cellproof {
namespace {

void read_format(const TomlItem& item) {
  constexpr int ours = 1;
  if (!item) return;
  const double format = item.number();
  if (format != ours)
    item.fail(fmt::format("is {:g}, and this program reads format {}", format, ours), "write format = 1");
}

std::string read_default_unit(const TomlTable& table, std::string_view key, Kind kind, const std::string& otherwise) {
  const auto item = table.optional(key);
  if (!item) return otherwise;
  const std::string name = item->text();
  if (unit_factor(name, kind)) return name;
  item->fail(fmt::format("\"{}\" is not a unit of {}", name, kind_name(kind)), "use " + units_of(kind));
  return otherwise;
}

DefaultUnits read_units(const TomlItem& item) {
  const TomlTable table = item.table({"length", "angle", "mass"});
  DefaultUnits units;
  units.length = read_default_unit(table, "length", Kind::length, units.length);
  units.angle = read_default_unit(table, "angle", Kind::angle, units.angle);
  units.mass = read_default_unit(table, "mass", Kind::mass, units.mass);
  return units;
}

template <class Thing, class Read>
std::vector<Thing> read_all(const TomlTable& top, std::string_view key, Read read) {
  std::vector<Thing> things;
  for (const TomlItem& item : top.tables(key)) things.push_back(read(item));
  return things;
}

std::optional<CycleEntry> read_cycle_with_steps(const TomlTable& top, const std::vector<Seat>& seats) {
  const auto steps = top.tables("step");
  const auto item = top.optional("cycle");
  if (!item) {
    if (!steps.empty()) steps.front().fail("is a step of a cycle that is not there", "add [cycle] with start = [ … ]");
    return std::nullopt;
  }
  CycleEntry cycle = read_cycle(*item, seats);
  for (const TomlItem& step : steps) cycle.steps.push_back(read_step(step, cycle.steps.size() + 1, cycle.speeds));
  return cycle;
}

Rules read_all_rules(const TomlTable& top) {
  const auto item = top.optional("rules");
  Rules rules = item ? read_rules(*item) : Rules{};
  rules.contacts = read_all<NamedContact>(top, "contact", read_contact);
  rules.clearances = read_all<NamedClearance>(top, "clearance", read_clearance);
  return rules;
}

Cell read_top(const TomlTable& top, Reading& reading) {
  Cell cell;
  read_format(top.required("format"));
  if (const auto units = top.optional("units")) reading.units = read_units(*units);
  cell.units = reading.units;
  if (const auto name = top.optional("name")) cell.name = name->text();
  cell.rules = read_all_rules(top);
  cell.arm = read_arm(top.required("arm"));
  cell.bodies = read_all<Body>(top, "body", read_body);
  cell.seats = read_all<Seat>(top, "seat", read_seat);
  cell.parts = read_all<Part>(top, "part", read_part);
  cell.tcps = read_all<Tcp>(top, "tcp", read_tcp);
  const double altitude = cell.rules.altitude;
  cell.suctions =
      read_all<Suction>(top, "suction", [altitude](const TomlItem& item) { return read_suction(item, altitude); });
  cell.supplies =
      read_all<Supply>(top, "vacuum", [altitude](const TomlItem& item) { return read_supply(item, altitude); });
  cell.jaws = read_all<Jaw>(top, "jaw", read_jaw);
  cell.cameras = read_all<Camera>(top, "camera", read_camera);
  cell.targets = read_all<Target>(top, "target", read_target);
  cell.zones = read_all<Zone>(top, "zone", read_zone);
  cell.holds = read_all<Hold>(top, "hold", read_hold);
  cell.frictions = read_all<PairFriction>(top, "friction", read_pair_friction);
  cell.surveys = read_all<Survey>(top, "survey", read_survey);
  cell.cycle = read_cycle_with_steps(top, cell.seats);
  if (!reading.failed()) take_vacuum_of_supplies(cell);
  return cell;
}

}  // namespace

Input<Cell> read_cell_text(std::string_view text, const std::filesystem::path& file) {
  const auto tree = parse_toml(text);
  if (!tree)
    return tl::make_unexpected(InputError{file.string(), tree.error().line, "", tree.error().what, tree.error().mend});
  Reading reading;
  reading.file = file.string();
  const TomlTable top(
      reading, &*tree, Origin{1, ""},
      {"format", "name",  "units", "arm",  "body",  "seat",    "part",      "tcp",  "suction", "jaw",      "camera",
       "target", "cycle", "step",  "zone", "rules", "contact", "clearance", "hold", "survey",  "friction", "vacuum"});
  Cell cell = read_top(top, reading);
  if (!reading.failed()) check_names(cell, reading);
  if (!reading.failed()) check_effects(cell, reading);
  if (!reading.failed()) check_surveys(cell, reading);
  if (reading.failed()) return tl::make_unexpected(*reading.error);
  cell.file = file;
  if (cell.name.empty()) cell.name = file.stem().string();
  cell.cautions = std::move(reading.cautions);
  return cell;
}

Input<Cell> read_cell_file(const std::filesystem::path& file) {
  const auto unreadable = [&file](std::string_view why) {
    return tl::make_unexpected(
        InputError{file.string(), 0, "", fmt::format("cannot be read: {}", why), "check the path"});
  };
  std::error_code ignored;
  if (std::filesystem::is_directory(file, ignored)) return unreadable("it is a folder");
  errno = 0;
  std::ifstream stream(file, std::ios::binary);
  if (!stream) return unreadable(errno ? std::strerror(errno) : "it does not open");
  std::string text;
  for (std::array<char, 65536> piece{}; stream;) {
    stream.read(piece.data(), piece.size());
    text.append(piece.data(), static_cast<std::size_t>(stream.gcount()));
  }
  if (stream.bad()) return unreadable("reading broke off");
  return read_cell_text(text, file);
}

}  // namespace cellproof
