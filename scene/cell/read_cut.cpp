// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

std::vector<Vector2d> read_over(const TomlItem& item) {
  std::vector<Vector2d> over;
  for (const TomlItem& corner : item.list()) over.push_back(read_lengths2(corner));
  if (over.empty()) item.fail("is an empty list", "give the corners of the outline in which the cutter works");
  return over;
}

double read_helix(const TomlItem& item) {
  const double helix = item.quantity(Kind::angle);
  if (std::abs(helix) >= pi / 2)
    item.fail("is 90 degrees or more", "write the angle of the edge to the cutter's axis, 0 for straight teeth");
  return helix;
}

double read_exponent(const TomlItem& item) {
  const double mc = item.number(Sign::not_negative);
  if (mc >= 1)
    item.fail("is 1 or more", "write how the specific cutting force falls with the chip, as 0.25; see the tables");
  return mc;
}

/// A length of the cutter's that is no greater than its diameter.
double read_width(const TomlItem& item, double diameter) {
  const double width = item.quantity(Kind::length, Sign::positive);
  if (width > diameter)
    item.fail("is greater than the cutter's diameter", "write what it takes across the feed; in a slot its diameter");
  return width;
}

void check_chip(const TomlTable& table, const Cutter& cutter) {
  constexpr double thin = 0.05, thick = 1;  // mm; below thin the tables' straight line no longer holds
  if (table.reading().failed()) return;
  const double per_tooth = cutter.feed * 2 * pi / (cutter.spindle * cutter.teeth);
  if (per_tooth > cutter.diameter / 2)
    table.required("feed").fail(fmt::format("makes {:.3g} mm a tooth, more than half the cutter's diameter", per_tooth),
                                "give feed and spindle with their units: \"2400 mm/min\", \"12000 rpm\"");
  const auto tell = [&](const std::string& what) {
    const Origin where = table.required("feed").where();
    table.reading().cautions.push_back(
        fmt::format("line {}: {} makes {:.3g} mm a tooth: {}", where.line, where.key, per_tooth, what));
  };
  if (per_tooth < thin)
    tell("in so thin a chip the edge rubs, and the force is above what kc11 and mc tell; measure it");
  if (per_tooth > thick) tell("rarely so much; a feed without a unit is in mm/s");
}

Cutter read_cutter(const TomlItem& item) {
  const TomlTable table = item.table(
      {"diameter", "teeth", "helix", "spindle", "feed", "depth", "width", "centred", "kc11", "mc", "radial"});
  constexpr int most_teeth = 100;
  Cutter cutter;
  cutter.diameter = table.required("diameter").quantity(Kind::length, Sign::positive);
  cutter.teeth = table.required("teeth").whole_number(1, most_teeth);
  cutter.helix = read_helix(table.required("helix"));
  cutter.spindle = table.required("spindle").quantity(Kind::angular_speed, Sign::positive);
  cutter.feed = table.required("feed").quantity(Kind::speed, Sign::positive);
  cutter.depth = table.required("depth").quantity(Kind::length, Sign::positive);
  cutter.width = read_width(table.required("width"), cutter.diameter);
  if (const auto centred = table.optional("centred")) cutter.centred = centred->truth();
  cutter.kc11 = table.required("kc11").quantity(Kind::specific_force, Sign::positive);
  cutter.mc = read_exponent(table.required("mc"));
  cutter.radial = table.required("radial").number(Sign::not_negative);
  check_chip(table, cutter);
  return cutter;
}

void read_power(const TomlTable& table, Cut& cut) {
  cut.power = table.required("power").quantity(Kind::power, Sign::positive);
  cut.cutting_speed = table.required("cutting_speed").quantity(Kind::speed, Sign::positive);
  const TomlItem peak = table.required("peak");
  cut.peak = peak.number(Sign::positive);
  if (peak && *cut.peak < 1) peak.fail("is below 1", "write the peak force over the mean, 1 or more");
}

void refuse(const TomlTable& table, std::initializer_list<std::string_view> keys, const std::string& what) {
  for (const std::string_view key : keys)
    if (const auto extra = table.optional(key)) extra->fail(what, fmt::format("leave {} out", key));
}

}  // namespace

Cut read_cut(const TomlItem& item) {
  const TomlTable table =
      item.table({"side_force", "lift_force", "thrust", "height", "over", "power", "cutting_speed", "peak", "cutter"});
  Cut cut;
  const std::string_view from = table.at_most_one({"side_force", "power", "cutter"});
  if (from.empty() && !table.has("lift_force") && !table.has("thrust"))
    table.fail("states no force", "give one of side_force, power and cutter, or lift_force or thrust");
  if (from == "side_force") cut.side_force = table.required("side_force").quantity(Kind::force, Sign::not_negative);
  if (from == "power") read_power(table, cut);
  if (from != "power") refuse(table, {"cutting_speed", "peak"}, "serves only with power");
  if (from == "cutter") {
    cut.cutter = read_cutter(table.required("cutter"));
    refuse(table, {"lift_force", "thrust"}, "is told by the cutter's helix");
  }
  cut.lift_force = optional_quantity(table, "lift_force", Kind::force, Sign::not_negative, 0);
  cut.thrust = optional_quantity(table, "thrust", Kind::force, Sign::not_negative, 0);
  cut.height = optional_quantity(table, "height", Kind::length, Sign::not_negative, 0);
  if (const auto over = table.optional("over")) cut.over = read_over(*over);
  return cut;
}

}  // namespace cellproof
