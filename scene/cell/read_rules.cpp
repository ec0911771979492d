// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

/// A shop knows its altitude in metres or feet, and the file's bare lengths are mostly millimetres.
double read_altitude(const TomlTable& table, const TomlItem& item) {
  constexpr double lowest = -5e6, highest = 11e6;  // mm: where the atmosphere's formula holds
  constexpr double hardly_meant = 1e4;             // mm
  const double altitude = item.quantity(Kind::length);
  if (altitude != 0 && std::abs(altitude) < hardly_meant)
    table.reading().cautions.push_back(
        fmt::format("rules: altitude is {:.4g} m; write it with its unit, as \"{:.4g} m\", if that is not meant",
                    altitude / 1000, altitude));
  if (altitude >= lowest && altitude <= highest) return altitude;
  item.fail(fmt::format("is {:.6g} m", altitude / 1000), "write an altitude from -5000 m to 11000 m");
  return 0;
}

double read_visible(const TomlItem& item) {
  const double visible = item.fraction();
  if (visible < 0 || visible > 1) item.fail("is not from 0 to 1", "write a share: 0.98 or \"98 %\"");
  return visible;
}

bool is_group_word(const std::string& name) {
  return name == "arm" || name == "end effector" || name == "surroundings";
}

std::array<std::string, 2> read_between(const TomlItem& item) {
  const auto sides = item.list_of(2, "[\"one\", \"other\"]");
  std::array<std::string, 2> between{read_use(sides[0], Wanted::pair_member), read_use(sides[1], Wanted::pair_member)};
  // A name on both sides is a part against its own copies.
  if (item && between[0] == between[1] && !is_group_word(between[0])) read_use(sides[1], Wanted::part);
  return between;
}

}  // namespace

Rules read_rules(const TomlItem& item) {
  const TomlTable table = item.table({"clearance", "seat_zone", "contact_depth", "limit_margin", "singular", "visible",
                                      "grip_factor", "hold_factor", "stop", "altitude"});
  constexpr Sign sign = Sign::not_negative;
  Rules rules;
  rules.clearance = optional_quantity(table, "clearance", Kind::length, sign, rules.clearance);
  rules.seat_zone = optional_quantity(table, "seat_zone", Kind::length, sign, std::max(2 * rules.clearance, 2.0));
  rules.contact_depth = optional_quantity(table, "contact_depth", Kind::length, sign, rules.contact_depth);
  rules.limit_margin = optional_quantity(table, "limit_margin", Kind::angle, sign, rules.limit_margin);
  rules.singular = optional_number(table, "singular", sign, rules.singular);
  if (const auto visible = table.optional("visible")) rules.visible = read_visible(*visible);
  rules.grip_factor = optional_number(table, "grip_factor", sign, rules.grip_factor);
  rules.hold_factor = optional_number(table, "hold_factor", sign, rules.hold_factor);
  rules.stop = optional_quantity(table, "stop", Kind::acceleration, Sign::positive);
  if (const auto altitude = table.optional("altitude")) rules.altitude = read_altitude(table, *altitude);
  return rules;
}

NamedContact read_contact(const TomlItem& item) {
  const TomlTable table = item.table({"between"});
  return {read_between(table.required("between")), table.where()};
}

PairFriction read_pair_friction(const TomlItem& item) {
  const TomlTable table = item.table({"between", "value"});
  const auto sides = table.required("between").list_of(2, "[\"holder\", \"part\"]");
  return {read_use(sides[0], Wanted::holder), read_use(sides[1], Wanted::part),
          read_friction_value(table.required("value")), table.where()};
}

NamedClearance read_clearance(const TomlItem& item) {
  const TomlTable table = item.table({"between", "least"});
  return {read_between(table.required("between")), table.required("least").quantity(Kind::length, Sign::not_negative),
          table.where()};
}

Zone read_zone(const TomlItem& item) {
  const TomlTable table = item.table({"name", "on", "at", "box"});
  Zone zone;
  zone.origin = table.where();
  zone.name = read_name(table, Sort::zone);
  zone.placed = read_placed(table, "world");
  zone.box = read_lengths3(table.required("box"), Sign::positive);
  return zone;
}

}  // namespace cellproof
