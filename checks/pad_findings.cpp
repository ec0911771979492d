// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/pad_findings.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "checks/zone_covers.hpp"

namespace cellproof {

namespace {

constexpr double small_mm2 = 20, small_share = 0.1;

std::string names_of(const Scene& scene, const std::vector<BodyId>& bodies) {
  std::string names;
  for (const BodyId body : bodies)
    names += fmt::format("{}'{}'", names.empty() ? "" : " and ", scene.bodies[body].name);
  return names;
}

const Jaw& jaw_of(const Scene& scene, const PadMeasure& pads) {
  return scene.cell.jaws[pads.jaw];
}

/// "5.00 mm of air at 'left finger'"
std::string gap_text(const Scene& scene, const PadSide& side, double depth_mm) {
  if (!side.gap) return "on one side no pad stands opposite it";
  const std::string at = names_of(scene, {side.gap->body});
  const double gap = side.gap->gap_mm;
  if (std::abs(gap) <= depth_mm)
    return fmt::format("{:.2f} mm at {}, but the meshes may lie as far off", std::abs(gap), at);
  return fmt::format("{:.2f} mm {} at {}", std::abs(gap), gap > 0 ? "of air" : "too deep", at);
}

std::string mend_text(const PadMeasure& pads, double worst_mm) {
  if (pads.contact.width)
    return fmt::format("draw the pads closed on the part, {:.2f} mm {}, or let the fingers close by a `stroke`",
                       *pads.contact.width, pads.contact.inside ? "from outside to outside" : "apart");
  if (std::isfinite(worst_mm))
    return fmt::format("draw the pads closed on the part: that finger {:.2f} mm {}, or let it close by a `stroke`",
                       std::abs(worst_mm), worst_mm > 0 ? "nearer" : "further off");
  return "grip where all pads stand opposite the part, or name the bodies with the pads in the tcp's `touch`";
}

void add_missed(const Scene& scene, const PadMeasure& pads, Finding finding, std::vector<Finding>& findings) {
  const double depth = seal_tolerance_mm(scene.cell.rules);
  std::string missed;
  double worst = 0;
  for (const PadSide& side : pads.contact.sides) {
    if (side.met.area_mm2 > 0) continue;
    const std::string text = gap_text(scene, side, depth);
    if (missed.find(text) == std::string::npos) missed += (missed.empty() ? "" : ", ") + text;
    const double gap = side.gap ? side.gap->gap_mm : std::numeric_limits<double>::infinity();
    if (std::abs(gap) > std::abs(worst)) worst = gap;
  }
  if (std::isfinite(worst) && std::abs(worst) > depth) finding.judged = {std::abs(worst), depth, "mm"};
  finding.message =
      fmt::format("the pads of '{}' do not meet '{}': {}", finding.between[0], finding.between[1], missed);
  finding.mend = mend_text(pads, worst);
  findings.push_back(std::move(finding));
}

/// Pads that press against each other need a finger each.
bool closes_as_one(const Scene& scene, const PadMeasure& pads) {
  const Jaw& jaw = jaw_of(scene, pads);
  std::set<BodyId> bodies;
  for (const PadSide& side : pads.contact.sides) bodies.insert(side.met.bodies.begin(), side.met.bodies.end());
  return jaw.fingers.size() > 1 && bodies.size() == 1 && std::ranges::any_of(jaw.fingers, [&](const Finger& finger) {
           return finger.body == scene.bodies[*bodies.begin()].name;
         });
}

void judge_area(const Scene& scene, const PadMeasure& pads, Finding finding, std::vector<Finding>& findings) {
  const auto least =
      std::ranges::min_element(pads.contact.sides, {}, [](const PadSide& side) { return side.met.area_mm2; });
  const double area = least->met.area_mm2;
  const auto asked = jaw_of(scene, pads).pad_area;
  const double small = std::max(small_mm2, small_share * least->met.face_mm2);
  if (asked ? area >= *asked : area >= small) return;
  finding.severity = asked ? Severity::fail : Severity::caution;
  finding.judged = {area, asked ? *asked : small, "mm^2"};
  finding.message = fmt::format("'{}' meets '{}' on {:.1f} mm^2 at {}, {:g} mm^2 {}", finding.between[0],
                                finding.between[1], area, names_of(scene, least->met.bodies), asked ? *asked : small,
                                asked ? "asked" : "would be a tenth of the pad's face, 20 at least");
  finding.mend = "grip deeper, shape the pads to the part, or state what is enough as `pad_area`";
  findings.push_back(std::move(finding));
}

/// A pad's stated size turns up in how much turning it holds: it must be there.
bool add_smaller_than_told(const Scene& scene, const PadMeasure& pads, Finding finding,
                           std::vector<Finding>& findings) {
  const auto& told = jaw_of(scene, pads).pad;
  if (!told || finding.check != Check::grip) return false;
  constexpr double nearly_all = 0.9;
  const auto least =
      std::ranges::min_element(pads.contact.sides, {}, [](const PadSide& side) { return side.met.area_mm2; });
  const double area = least->met.area_mm2, asked = nearly_all * told->prod();
  if (area >= asked) return false;
  finding.judged = {area, asked, "mm^2"};
  finding.message = fmt::format(
      "'{}' meets '{}' on {:.1f} mm^2 at {}, and `pad` tells of {:g} by {:g} mm: what is judged to hold a "
      "turn is not there",
      finding.between[0], finding.between[1], area, names_of(scene, least->met.bodies), told->x(), told->y());
  finding.mend =
      "write as `pad` the rectangle on which pad and part meet, with the jaw's `at` in its middle, or grip "
      "deeper";
  findings.push_back(std::move(finding));
  return true;
}

/// Along the jaw's y and z: from its x to the middle of where a side meets the part.
Vector2d aside_of(const PadSide& side) {
  const Vector2d middle = (side.met.low + side.met.high) / 2;
  return (axes_along(side.presses).transpose() * Vector3d(middle.x(), middle.y(), 0)).tail<2>();
}

/// The levers of all that turns the part are taken from the jaw's x: the pads must stand about it.
bool add_aside(const Scene& scene, const PadMeasure& pads, Finding finding, std::vector<Finding>& findings) {
  const auto& told = jaw_of(scene, pads).pad;
  if (!told || finding.check != Check::grip) return false;
  constexpr double most_share = 0.05;
  for (const PadSide& side : pads.contact.sides) {
    const Vector2d aside = aside_of(side);
    const Eigen::Index axis = std::abs(aside.x()) / told->x() > std::abs(aside.y()) / told->y() ? 0 : 1;
    const double off = std::abs(aside[axis]), most = most_share * (*told)[axis];
    if (off <= most) continue;
    finding.judged = {off, most, "mm"};
    finding.message = fmt::format(
        "'{}' meets '{}' about a place {:.1f} mm along y and {:.1f} mm along z from the jaw's x at {}: with `pad` the "
        "turn is judged about that x",
        finding.between[0], finding.between[1], aside.x(), aside.y(), names_of(scene, side.met.bodies));
    finding.mend = "move the jaw's `at` into the middle of where pads and part meet";
    findings.push_back(std::move(finding));
    return true;
  }
  return false;
}

}  // namespace

void add_pad_findings(const Scene& scene, Check check, const Finding& place, const PadMeasure& pads,
                      std::vector<Finding>& findings) {
  Finding finding = place;
  finding.check = check;
  finding.severity = Severity::fail;
  finding.between = {jaw_of(scene, pads).name, scene.cell.parts[pads.part].name};
  if (!pads.looked_at) {
    finding.severity = Severity::caution;
    finding.message = fmt::format("no pads of '{}' are modelled: that they meet '{}' is not looked at",
                                  finding.between[0], finding.between[1]);
    finding.mend = "draw them as bodies and name these in the jaw's `fingers`";
    findings.push_back(std::move(finding));
  } else if (!pads.contact.on_all_sides()) {
    add_missed(scene, pads, std::move(finding), findings);
  } else if (!pads.short_fingers.empty()) {
    const ShortFinger& first = pads.short_fingers.front();
    finding.message = fmt::format("'{}' comes to the end of its stroke {:.3f} mm off '{}': it presses on nothing",
                                  scene.bodies[first.body].name, first.gap_mm, finding.between[1]);
    finding.mend = fmt::format("give it a `stroke` that is {:.2f} mm longer at least", first.gap_mm + 0.005);
    findings.push_back(std::move(finding));
  } else if (closes_as_one(scene, pads)) {
    finding.message =
        fmt::format("'{}' meets '{}' on both sides with one finger alone, {}: what closes as one can't clasp",
                    finding.between[0], finding.between[1], names_of(scene, pads.contact.sides.front().met.bodies));
    finding.mend = "draw the other finger closed on the part";
    findings.push_back(std::move(finding));
  } else if (!add_smaller_than_told(scene, pads, finding, findings) && !add_aside(scene, pads, finding, findings)) {
    judge_area(scene, pads, std::move(finding), findings);
  }
}

}  // namespace cellproof
