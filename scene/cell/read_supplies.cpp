// SPDX-License-Identifier: GPL-3.0-or-later
// [[vacuum]]: what zones share.
#include <fmt/format.h>

#include "scene/basics/atmosphere.hpp"
#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

constexpr std::string_view shape_of_flow = "[[\"0 kPa\", \"60 L/min\"], [\"85 kPa\", \"0 L/min\"]]";

FlowPoint read_point(const TomlItem& item, double altitude_mm) {
  const auto entries = item.list_of(2, "[vacuum, flow]");
  return {read_vacuum(entries[0], Sign::not_negative, altitude_mm),
          entries[1].quantity(Kind::flow, Sign::not_negative)};
}

std::vector<FlowPoint> read_flow(const TomlItem& item, double altitude_mm) {
  std::vector<FlowPoint> flow;
  for (const TomlItem& entry : item.list()) {
    const FlowPoint point = read_point(entry, altitude_mm);
    if (!flow.empty() && !(point.vacuum > flow.back().vacuum))
      entry.fail("stands at no more vacuum than the point before it", "list the points from no vacuum to the most");
    else if (!flow.empty() && !(point.flow < flow.back().flow))
      entry.fail("draws no less than the point before it", "list points at which the flow falls as the vacuum rises");
    flow.push_back(point);
  }
  if (item && flow.size() < 2)
    item.fail(flow.empty() ? "is an empty list" : "has one point only, and a line needs two",
              fmt::format("write vacuum and free air at two points at least: {}", shape_of_flow));
  return flow;
}

Hose read_hose(const TomlItem& item) {
  const TomlTable table = item.table({"length", "bore"});
  return {table.required("length").quantity(Kind::length, Sign::positive),
          table.required("bore").quantity(Kind::length, Sign::positive)};
}

}  // namespace

double read_vacuum(const TomlItem& item, Sign sign, double altitude_mm) {
  const double vacuum = item.quantity(Kind::pressure, sign);
  const double ambient = ambient_pressure(altitude_mm);
  if (vacuum > ambient)
    item.fail(fmt::format("is {} ({:.0f} Pa) below ambient, but at {:.6g} m ambient is only {} ({:.0f} Pa)",
                          item.in_written_unit(vacuum, Kind::pressure), vacuum, altitude_mm / 1000,
                          item.in_written_unit(ambient, Kind::pressure), ambient),
              "write what the gauge reads, or correct rules.altitude");
  return vacuum;
}

Supply read_supply(const TomlItem& item, double altitude_mm) {
  const TomlTable table = item.table({"name", "flow", "volume", "hose", "leak", "check_valve", "switch"});
  Supply supply;
  supply.origin = table.where();
  supply.name = read_name(table, Sort::supply);
  supply.flow = read_flow(table.required("flow"), altitude_mm);
  supply.volume = optional_quantity(table, "volume", Kind::volume, Sign::positive);
  if (const auto hose = table.optional("hose")) supply.hose = read_hose(*hose);
  supply.leak = table.required("leak").quantity(Kind::flow, Sign::not_negative);
  if (const auto valve = table.optional("check_valve")) supply.check_valve = valve->truth();
  if (const auto at = table.optional("switch")) supply.switch_at = read_vacuum(*at, Sign::positive, altitude_mm);
  return supply;
}

}  // namespace cellproof
