// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "checks/model_cautions.hpp"
#include "scene/basics/units.hpp"

namespace cellproof {

namespace {

constexpr double tiny_mm = 1.0, huge_mm = 20000.0;  // no gripper is smaller, no mill larger (common practice)

struct LengthUnit {
  std::string_view key, word;  ///< for mesh_unit, and in a sentence
  double mm;
};
constexpr std::array<LengthUnit, 5> units = {{{"in", "inches", mm_per_inch},
                                              {"m", "metres", 1000},
                                              {"mm", "millimetres", 1},
                                              {"cm", "centimetres", 10},
                                              {"thou", "thousandths of an inch", mm_per_inch / 1000}}};

std::string size_text(const Vector3d& size) {
  return fmt::format("{:.4g} x {:.4g} x {:.4g} mm", size.x(), size.y(), size.z());
}

/// What the other units would make of a mesh, those first that give a size between a hundredth and thrice the reach.
std::string other_units(const MeshSource* source, const Vector3d& size, double reach) {
  const double now = source && source->unit_mm ? *source->unit_mm : 1;
  std::string likely;
  for (const LengthUnit& unit : units) {
    const Vector3d then = size * unit.mm / now;
    if (std::abs(unit.mm / now - 1) < 1e-9 || then.maxCoeff() < reach / 100 || then.maxCoeff() > 3 * reach) continue;
    likely += fmt::format("{}as {} it were {}", likely.empty() ? "" : ", ", unit.word, size_text(then));
  }
  return likely.empty() ? "draw it in its true size" : fmt::format("set its unit: {}", likely);
}

/// Drawn in metres and read as millimetres, by all that its size tells: a speck that would fit the cell a thousand
/// times larger.
bool looks_a_thousandth(const Vector3d& size, double reach) {
  const double then = 1000 * size.maxCoeff();
  return size.maxCoeff() < reach / 500 && then >= reach / 100 && then <= 3 * reach;
}

bool size_is_checked(const Cell& cell, const std::string& name) {
  const auto checked = [&](const auto& thing) { return thing.name == name && thing.size_checked; };
  return std::any_of(cell.bodies.begin(), cell.bodies.end(), checked) ||
         std::any_of(cell.parts.begin(), cell.parts.end(), checked);
}

/// Places that the file states on the body and that lie on its surface, as a rule: seats, targets, grasps.
std::vector<Vector3d> places_on(const Cell& cell, const std::string& body) {
  std::vector<Vector3d> places;
  for (const auto& seat : cell.seats)
    if (seat.placed.on == body) places.push_back(seat.placed.at.translation());
  for (const auto& target : cell.targets)
    if (target.placed.on == body) places.push_back(target.placed.at.translation());
  for (const auto& part : cell.parts)
    if (part.name == body)
      for (const auto& grasp : part.grasps) places.push_back(grasp.at.translation());
  return places;
}

/// Distance of a point from a box's surface, inside as outside.
double distance_from_faces(const Box& box, const Vector3d& point) {
  const Vector3d outside = (box.low - point).cwiseMax(point - box.high);
  return outside.maxCoeff() > 0 ? outside.cwiseMax(0).norm() : -outside.maxCoeff();
}

/// The greatest distance of the places from the box, had the mesh been drawn in a unit so many times as large.
double farthest_place(const std::vector<Vector3d>& places, const Box& box, double factor) {
  double farthest = 0;
  for (const auto& place : places)
    farthest = std::max(farthest, distance_from_faces({factor * box.low, factor * box.high}, place));
  return farthest;
}

/// A unit in which all that the file states on the mesh would lie on its box, where as it is something stands far off.
const LengthUnit* unit_that_fits(const std::vector<Vector3d>& places, const Box& box, double now) {
  const double across = (box.high - box.low).norm();
  if (farthest_place(places, box, 1) < across) return nullptr;
  const auto* found = std::find_if(units.begin(), units.end(), [&](const LengthUnit& unit) {
    const double factor = unit.mm / now;
    return factor > 1.5 && farthest_place(places, box, factor) < 0.02 * factor * across;
  });
  return found == units.end() ? nullptr : found;
}

/// Drawn at a place of its own and placed again: it may stand twice as far off as meant.
bool is_far_from_frame(const Scene& scene, const SceneBody& body, double reach) {
  const Box& box = body.solid->box();
  const double across = (box.high - box.low).norm();
  const Vector3d nearest = Vector3d::Zero().cwiseMax(box.low).cwiseMin(box.high);
  const Frame& frame = scene.frames[body.frame];
  return nearest.norm() > 10 * across && nearest.norm() > reach && frame.in_parent.translation().norm() > 0;
}

}  // namespace

std::vector<Finding> size_findings(const Scene& scene, const SceneBody& body) {
  std::vector<Finding> findings;
  const MeshSource* source = mesh_source_of(scene.cell, body.name);
  const Box& box = body.solid->box();
  const Vector3d size = box.high - box.low;
  const double reach = length_scale(scene.cell.arm.arm);
  if (looks_a_thousandth(size, reach) && !size_is_checked(scene.cell, body.name)) {
    Finding finding = model_caution(
        {body.name},
        fmt::format("'{}' is only {} in all, beside an arm that reaches {:.4g} mm, and would fit it 1000 times larger",
                    body.name, size_text(size), reach),
        other_units(source, size, reach) + "; if it is as small as that, size_checked = true");
    finding.severity = Severity::fail;
    return {finding};
  }
  const double tiny = source ? std::max(tiny_mm, reach / 500) : tiny_mm;
  const double huge = source ? std::min(huge_mm, 10 * reach) : huge_mm;
  if (size.maxCoeff() < tiny || size.maxCoeff() > huge)
    findings.push_back(
        model_caution({body.name},
                      fmt::format("'{}' is {}{} in all, beside an arm that reaches {:.4g} mm: its unit looks wrong",
                                  body.name, size.maxCoeff() < tiny ? "only " : "", size_text(size), reach),
                      other_units(source, size, reach)));
  else if (const LengthUnit* unit =
               source ? unit_that_fits(places_on(scene.cell, body.name), box, source->unit_mm.value_or(1)) : nullptr)
    findings.push_back(model_caution(
        {body.name},
        fmt::format("'{}' is {} in all, and what the file states on it lies up to {:.4g} mm off: its unit looks wrong",
                    body.name, size_text(size), farthest_place(places_on(scene.cell, body.name), box, 1)),
        fmt::format("set its unit: as {} it were {}, and all of that would lie on it", unit->word,
                    size_text(size * unit->mm / source->unit_mm.value_or(1)))));
  if (source && is_far_from_frame(scene, body, reach)) {
    const Vector3d middle = (box.low + box.high) / 2;
    findings.push_back(model_caution(
        {body.name},
        fmt::format("'{}' is drawn {:.4g} mm away from its own origin, around ({:.4g}, {:.4g}, {:.4g}), and its `at` "
                    "places it once more",
                    body.name, middle.norm(), middle.x(), middle.y(), middle.z()),
        "look where it stands with `cellproof picture`; if it is off, export it about its own origin or leave `at` "
        "out"));
  }
  return findings;
}

}  // namespace cellproof
