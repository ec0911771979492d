// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>
#include <functional>

#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/grip_mend.hpp"
#include "checks/pad_findings.hpp"
#include "checks/seal_findings.hpp"
#include "checks/told_apart.hpp"

namespace cellproof {

namespace {

struct HoldMode {
  const char* name;
  double at_cut, at_more;
};

std::vector<HoldMode> named_factors(const HoldMeasure& measure) {
  return {{"slip", measure.factors.slip, measure.factors_at_more.slip},
          {"tip", measure.factors.tip, measure.factors_at_more.tip},
          {"lift", measure.factors.lift, measure.factors_at_more.lift}};
}

/// How many times the force the hold needs for `factor`.
double force_times(const Hold& hold, const HoldMeasure& measure, double factor) {
  if (measure.asked.force <= 0) return std::numeric_limits<double>::infinity();
  if (!is_clasped(hold)) return pressing_needed(measure.asked, factor) / measure.asked.force;
  HoldCase without = measure.asked;  // lift and tip need what pressing would need; slip is in proportion
  without.side = without.weight_along = 0;
  double times = pressing_needed(without, factor) / measure.asked.force;
  HoldCase tipping = measure.asked;
  tipping.friction = std::numeric_limits<double>::infinity();
  times = std::max(times, pressing_needed(tipping, factor) / measure.asked.force);
  return std::max(times, factor / measure.factors.slip);
}

std::string stronger(const Cell& cell, const Hold& hold, double times) {
  if (!hold.suction.empty()) return stronger_suction(cell, hold.suction, times);
  if (is_clasped(hold)) {
    const Jaw& jaw = cell.jaws[id_named(cell.jaws, hold.jaw)];
    return fmt::format("force = \"{:g} N\" for '{}' in place of {:g} N", rounded_up(jaw.force * times), jaw.name,
                       jaw.force);
  }
  return fmt::format("{:g} times the force of each clamp", rounded_up(times));
}

std::string mend_of(const Scene& scene, const Hold& hold, const HoldMeasure& measure) {
  const double factor = scene.cell.rules.hold_factor, times = force_times(hold, measure, factor);
  std::string text =
      std::isfinite(times) ? stronger(scene.cell, hold, times) : "no force does it there: bring it inside the rests";
  if (is_clasped(hold)) return text;
  const double side = side_allowed(measure.asked, factor);
  if (side > 0)
    text += fmt::format("; or a lighter cut: side force at most {:g} N", rounded_down(side));
  else
    text += "; a lighter side force alone can't do it";
  return text;
}

Finding finding_of(const Scene& scene, const CycleRun& run, const HoldMeasure& measure, Severity severity) {
  const Hold& hold = scene.cell.holds[measure.hold];
  Finding finding;
  finding.check = Check::hold;
  finding.severity = severity;
  finding.run = run.name;
  finding.others = run.others;
  finding.step = measure.step;
  finding.time_s = measure.time_s;
  finding.between = {hold.name, scene.cell.parts[measure.part].name};
  return finding;
}

std::string estimate_text(const HoldMeasure& measure, const HoldMode& factor) {
  if (!measure.side.estimated) return {};
  return fmt::format("; the side force, {:.0f} N, is estimated from power to within 50 %: {:.2f} at its upper end",
                     measure.side.newton, factor.at_more);
}

void judge_factors(const Scene& scene, const CycleRun& run, const HoldMeasure& measure,
                   std::vector<Finding>& findings) {
  const Hold& hold = scene.cell.holds[measure.hold];
  const double asked = scene.cell.rules.hold_factor;
  for (const HoldMode& factor : named_factors(measure)) {
    const bool weak = factor.at_cut < asked, weak_at_more = factor.at_more < asked;
    if (!weak && !weak_at_more) continue;
    Finding finding = finding_of(scene, run, measure, weak ? Severity::fail : Severity::caution);
    finding.judged = {weak ? factor.at_cut : factor.at_more, asked, "times"};
    finding.message = fmt::format("'{}' holds '{}' with {:.1f} N: {} {} times, {:g} asked{}", hold.name,
                                  finding.between[1], measure.force, factor.name, told_from(factor.at_cut, asked, 2),
                                  asked, estimate_text(measure, factor));
    finding.mend = weak ? mend_of(scene, hold, measure)
                        : "measure the cutting force, or hold as if it were half as much again; hard stops "
                          "beside the part take what friction does not";
    if (weak && std::string_view(factor.name) == "slip") finding.mend += "; or hard stops that take the side force";
    findings.push_back(std::move(finding));
  }
}

void judge_place(const Scene& scene, const CycleRun& run, const HoldMeasure& measure, std::vector<Finding>& findings) {
  const auto outside = [&](double inside_mm, const std::string& what, const char* mend) {
    if (!(inside_mm <= 0)) return;
    Finding finding = finding_of(scene, run, measure, Severity::fail);
    finding.judged = {inside_mm, 0, "mm"};
    finding.message = fmt::format("{} falls {} mm outside the rests", what, told_from(-inside_mm, 0, 2));
    finding.mend = fmt::format("{}, {} mm at least", mend, told_from(-inside_mm, 0, 2));
    findings.push_back(std::move(finding));
  };
  const std::string part = scene.cell.parts[measure.part].name;
  outside(measure.mass_inside_mm, fmt::format("the weight of '{}'", part), "set a rest further out on that side");
  if (measure.force > 0)
    outside(measure.force_inside_mm, fmt::format("the force of '{}'", scene.cell.holds[measure.hold].name),
            "move the force inward or a rest outward");
}

}  // namespace

std::vector<Finding> check_hold(const Evidence& evidence) {
  std::vector<Finding> findings;
  for (std::size_t r = 0; r < evidence.cycle.runs.size(); ++r) {
    const CycleRun& run = evidence.cycle.runs[r];
    for (const auto& held : evidence.measures.holds[r]) {
      if (held.measure) {
        judge_factors(evidence.scene, run, *held.measure, findings);
        judge_place(evidence.scene, run, *held.measure, findings);
      }
      Finding place;
      place.run = run.name;
      place.others = run.others;
      for (const auto& cover : held.covers) {
        place.step = cover.step;
        place.time_s = cover.time_s;
        add_seal_findings(evidence.scene, Check::hold, place, cover.part, cover.covers, findings);
      }
      for (const auto& pads : held.pads) {
        place.step = pads.step;
        place.time_s = pads.time_s;
        add_pad_findings(evidence.scene, Check::hold, place, pads.pads, findings);
      }
    }
  }
  return findings;
}

}  // namespace cellproof
