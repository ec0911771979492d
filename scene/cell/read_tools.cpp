// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/atmosphere.hpp"
#include "scene/cell/cell_tables.hpp"
#include "scene/cell/simple_polygon.hpp"
#include "scene/cell/zone_shape.hpp"

namespace cellproof {
namespace {

Outline read_outline(const TomlItem& item) {
  constexpr std::size_t most_corners = 1000;
  Outline outline;
  for (const TomlItem& corner : item.list()) outline.push_back(read_lengths2(corner));
  if (item.reading().failed()) return outline;
  if (outline.size() > most_corners)
    item.fail(fmt::format("has {} corners", outline.size()), fmt::format("draw it with at most {}", most_corners));
  else if (!is_simple_polygon(outline))
    item.fail("is no simple polygon: its edges cross, fold back or enclose nothing",
              "list at least three corners in order around it, each once");
  return outline;
}

Finger read_finger(const TomlItem& item) {
  const TomlTable table = item.table({"body", "open", "stroke"});
  Finger finger;
  finger.body = read_use(table.required("body"), Wanted::body);
  const TomlItem open = table.required("open");
  finger.open = read_lengths3(open);
  finger.stroke = optional_quantity(table, "stroke", Kind::length, Sign::positive);
  if (finger.stroke && open && finger.open.isZero(0))
    open.fail("is nowhere, so that the stroke has no direction",
              "write how far the finger stands away while it is open, or leave stroke out");
  return finger;
}

std::vector<Finger> read_fingers(const TomlItem& item) {
  std::vector<Finger> fingers;
  for (const TomlItem& entry : item.list()) {
    Finger finger = read_finger(entry);
    const auto same = [&](const Finger& other) { return other.body == finger.body; };
    if (std::any_of(fingers.begin(), fingers.end(), same))
      entry.fail(fmt::format("names \"{}\" a second time", finger.body), "name each finger once");
    fingers.push_back(std::move(finger));
  }
  return fingers;
}

}  // namespace

Tcp read_tcp(const TomlItem& item) {
  const TomlTable table = item.table({"name", "on", "at", "suction", "jaw", "touch", "grip_time", "release_time"});
  Tcp tcp;
  tcp.origin = table.where();
  tcp.name = read_name(table, Sort::tcp);
  tcp.placed = read_placed(table, "flange", Wanted::hand_frame);
  if (table.has("suction") && table.has("jaw")) table.fail("has both suction and jaw", "keep one of them");
  if (const auto suction = table.optional("suction")) tcp.suction = read_uses(*suction, Wanted::suction);
  tcp.jaw = optional_use(table, "jaw", Wanted::jaw);
  if (const auto touch = table.optional("touch")) tcp.touch = read_uses(*touch, Wanted::end_effector_body);
  tcp.grip_time = optional_quantity(table, "grip_time", Kind::time, Sign::not_negative, 0);
  tcp.release_time = optional_quantity(table, "release_time", Kind::time, Sign::not_negative, 0);
  return tcp;
}

Suction read_suction(const TomlItem& item, double altitude_mm) {
  const TomlTable table =
      item.table({"name", "on", "at", "circle", "outline", "holes", "vacuum", "supply", "friction", "volume", "flow"});
  Suction suction;
  suction.origin = table.where();
  suction.name = read_name(table, Sort::suction);
  suction.placed = read_placed(table, std::nullopt);
  if (table.exactly_one({"circle", "outline"}) == "circle")
    suction.circle = table.required("circle").quantity(Kind::length, Sign::positive);
  else
    suction.outline = read_outline(table.required("outline"));
  if (const auto holes = table.optional("holes"))
    for (const TomlItem& hole : holes->list()) suction.holes.push_back(read_outline(hole));
  if (!table.reading().failed() && !holes_fit(suction))
    table.optional("holes")->fail("has a hole that reaches out of the zone or into another hole",
                                  "draw holes inside the zone and apart from each other");
  suction.friction = read_friction(table);
  suction.volume = optional_quantity(table, "volume", Kind::volume, Sign::positive);
  if (table.exactly_one({"vacuum", "supply"}) == "supply") {
    suction.supply = read_use(table.required("supply"), Wanted::supply);
    if (const auto flow = table.optional("flow"))
      flow->fail("stands beside supply", "leave it out: the flow is that of the [[vacuum]]");
    return suction;
  }
  suction.vacuum = read_vacuum(table.required("vacuum"), Sign::positive, altitude_mm);
  suction.flow = optional_quantity(table, "flow", Kind::flow, Sign::positive);
  if (suction.volume && suction.vacuum >= ambient_pressure(altitude_mm))
    table.fail("asks for all of ambient, which no pump reaches in finite time",
               "write the vacuum that the pump reaches");
  if (suction.volume.has_value() != suction.flow.has_value())
    table.fail("has only one of volume and flow",
               "give both, for the evacuation time, or neither; a volume alone goes with supply");
  return suction;
}

Jaw read_jaw(const TomlItem& item) {
  const TomlTable table = item.table({"name", "on", "at", "force", "pads", "friction", "fingers", "pad_area", "pad"});
  Jaw jaw;
  jaw.origin = table.where();
  jaw.name = read_name(table, Sort::jaw);
  jaw.placed = read_placed(table, std::nullopt);
  jaw.force = table.required("force").quantity(Kind::force, Sign::positive);
  if (const auto pads = table.optional("pads")) jaw.pads = pads->whole_number(2, 3);
  jaw.friction = read_friction(table);
  jaw.pad_area = optional_quantity(table, "pad_area", Kind::area, Sign::positive);
  if (const auto pad = table.optional("pad")) {
    jaw.pad = read_lengths2(*pad, Sign::positive);
    if (jaw.pads != 2) pad->fail("is of a jaw with three pads", "leave it out: only two pads are judged by their size");
  }
  if (const auto fingers = table.optional("fingers")) jaw.fingers = read_fingers(*fingers);
  return jaw;
}

}  // namespace cellproof
