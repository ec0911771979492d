// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"

namespace cellproof {

std::vector<Finding> check_speed(const Evidence& evidence) {
  std::vector<Finding> findings;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (!stretch.line || stretch.line->slowest_joint < 0 || stretch.line->rate >= stretch.line->asked_rate * (1 - 1e-9))
      return;
    const bool singular = measures.path.singular_value < evidence.scene.cell.rules.singular;
    const LinearTarget& line = stretch.motion.path.target();
    const bool turns_only = line.distance_mm() < 1e-9;
    const double length = turns_only ? degrees(line.angle()) : line.distance_mm();
    const char* unit = turns_only ? "deg/s" : "mm/s";
    Finding finding = finding_at("speed", singular ? Severity::fail : Severity::caution, run, stretch,
                                 time_at(stretch, stretch.line->slowest_s));
    finding.measured = stretch.line->rate * length;
    finding.required = stretch.line->asked_rate * length;
    finding.message = fmt::format("joint {} can't keep up with the line at {:.1f} {}: {:.1f} {} is the most{}",
                                  stretch.line->slowest_joint + 1, *finding.required, unit, *finding.measured, unit,
                                  singular ? ", beside a singular pose" : "; the line is timed at that");
    finding.mend = singular ? "move the seat, turn the tool, use another solution (`near`) or a joint move"
                            : fmt::format("set tool speed to {:.1f} {} in this step, or come from another side",
                                          *finding.measured, unit);
    findings.push_back(std::move(finding));
  });
  return findings;
}

}  // namespace cellproof
