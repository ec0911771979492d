// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/told_apart.hpp"
#include "kinematics/forward.hpp"
#include "scene/cycle/other_way.hpp"

namespace cellproof {

namespace {

/// A line's length in the unit that its speed is told in: mm, or deg where the tool only turns.
struct ToldLength {
  double length;
  const char *unit, *speed_unit;
};

ToldLength told(const LinearTarget& line) {
  if (line.distance_mm() < 1e-9) return {degrees(line.angle()), "deg", "deg/s"};
  return {line.distance_mm(), "mm", "mm/s"};
}

/// True if the joints hold the line back where a pose is nearer to singular than `asked`.
bool slowed_beside_singular(const Arm& arm, const Stretch& stretch, double asked) {
  const LineTiming& line = *stretch.line;
  const TimeLaw by_tool = line.asked_law();
  const double length = length_scale(arm);
  for (const RateAt& place : stretch.motion.law.places()) {
    const double asked_rate = by_tool.at(by_tool.time_at(place.s)).rate;
    if (place.rate >= asked_rate * (1 - 1e-4)) continue;
    const Jacobian jacobian = flange_jacobian(arm, arm_frames(arm, stretch.motion.path.on_chain(place.s)));
    if (least_singular_value(jacobian, length) < asked) return true;
  }
  return false;
}

std::string message(const Stretch& stretch, const ToldLength& told, bool singular) {
  const HeldBack& held = stretch.line->held_back;
  const double rate = held.rate * told.length, asked = held.asked_rate * told.length;
  const double takes_s = stretch.motion.duration(), asked_s = stretch.line->asked_s;
  const int digits = digits_apart(rate, asked, 1), digits_s = digits_apart(takes_s, asked_s, 2);
  return fmt::format(
      "joint {} can't keep up with the line: its {} limit leaves {:.{}f} {} of {:.{}f} {} at {:.1f} of {:.1f} {}{}; "
      "the "
      "line takes {:.{}f} s in place of {:.{}f} s",
      held.joint + 1, held.by_speed ? "speed" : "acceleration", rate, digits, told.speed_unit, asked, digits,
      told.speed_unit, held.s * told.length, told.length, told.unit, singular ? ", beside a singular pose" : "",
      takes_s, digits_s, asked_s, digits_s);
}

}  // namespace

std::vector<Finding> check_speed(const Evidence& evidence) {
  std::vector<Finding> findings;
  const Arm& arm = evidence.scene.cell.arm.arm;
  const double asked = evidence.scene.cell.rules.singular;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!stretch.line || stretch.line->held_back.joint < 0) return;
    const HeldBack& held = stretch.line->held_back;
    const bool singular = measures.path.singular_value < asked && slowed_beside_singular(arm, stretch, asked);
    Finding finding =
        finding_at(Check::speed, singular ? Severity::fail : Severity::caution, run, stretch, time_at(stretch, held.s));
    const ToldLength line = told(stretch.motion.path.target());
    finding.judged = {held.rate * line.length, held.asked_rate * line.length, std::string(line.speed_unit)};
    finding.message = message(stretch, line, singular);
    const std::string way = other_way(evidence.scene.cell, stretch.step_index);
    finding.mend =
        singular ? "move the seat, turn the tool, or " + way : "nothing need change if the time serves; else " + way;
    findings.push_back(std::move(finding));
  });
  return findings;
}

}  // namespace cellproof
