// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "checks/checks.hpp"
#include "checks/each_stretch.hpp"
#include "checks/told_apart.hpp"
#include "kinematics/entry.hpp"
#include "scene/cycle/other_way.hpp"

namespace cellproof {

namespace {

struct LimitHand {
  std::string what;
  double margin = std::numeric_limits<double>::infinity();
  bool at_max = false;
};

/// Which joint, or sum of joints, is nearest to its limits.
LimitHand nearest_limit(const Arm& arm, const Joints& values) {
  LimitHand nearest;
  const auto look = [&](double value, double min, double max, const std::string& name) {
    const double margin = std::min(value - min, max - value);
    if (margin >= nearest.margin) return;
    nearest.margin = margin;
    nearest.at_max = max - value < value - min;
    nearest.what =
        fmt::format("{} at {:.2f} deg, allowed {:.2f} to {:.2f} deg", name, degrees(value), degrees(min), degrees(max));
  };
  for (int j = 0; j < 6; ++j) {
    const auto& limit = entry(arm.limits, j);
    look(values[j], limit.min, limit.max, fmt::format("joint {}", j + 1));
  }
  for (std::size_t i = 0; i < arm.sum_limits.size(); ++i)
    look(arm.sum_limits[i].coefficients.dot(values), arm.sum_limits[i].min, arm.sum_limits[i].max,
         fmt::format("sum of joints {}", i + 1));
  return nearest;
}

/// The cycle begins where the limits are overrun most: no step leads there.
bool stands_there_at_start(const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
  return &stretch == &run.stretches.front() && stretch.motion.path.knots().front().values == measures.path.at_limit;
}

}  // namespace

std::vector<Finding> check_limits(const Evidence& evidence) {
  std::vector<Finding> findings;
  const double asked = evidence.scene.cell.rules.limit_margin;
  each_stretch(evidence, [&](const CycleRun& run, const Stretch& stretch, const StretchMeasures& measures) {
    if (measures.path.limit_margin >= asked - 1e-9) return;
    if (stretch.motion.path.goes_nowhere() && &stretch != &run.stretches.front())
      return;  // the move before has said it
    const LimitHand nearest = nearest_limit(evidence.scene.cell.arm.arm, measures.path.at_limit);
    Finding finding = finding_at(Check::limits, Severity::fail, run, stretch, stretch.start_s);
    for (const Knot& knot : stretch.motion.path.knots())
      if (knot.values == measures.path.at_limit) {
        finding.time_s = time_at(stretch, knot.s);
        break;
      }
    finding.judged = {degrees(measures.path.limit_margin), degrees(asked), "deg"};
    finding.message = fmt::format("{}: {} deg in hand, {:.2f} deg asked", nearest.what,
                                  told_from(degrees(nearest.margin), degrees(asked), 2), degrees(asked));
    const double short_of = degrees(asked - nearest.margin);
    const int digits = digits_apart(short_of, 0, 2);
    finding.mend = stands_there_at_start(run, stretch, measures)
                       ? fmt::format("let the cycle's `start` be {:.{}f} deg further in", short_of, digits)
                       : fmt::format("take {:.{}f} deg off joint travel here: {}, or move the seat or the arm",
                                     short_of, digits, other_way(evidence.scene.cell, stretch.step_index));
    findings.push_back(std::move(finding));
  });
  return findings;
}

}  // namespace cellproof
