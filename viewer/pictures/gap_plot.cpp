// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/gap_plot.hpp"

#include <algorithm>
#include <cmath>

namespace cellproof {

namespace {

/// The step as a whole is enclosed more tightly than a piece of a fast move: both bounds hold.
void add_spans(const StepFigure& step, const TimeAxis& axis, GapPlot& plot) {
  const auto& curve = step.clearance_over_time;
  const double whole_step = step.clearance ? step.clearance->lower_mm : 0;
  for (std::size_t i = 0; i < curve.size(); ++i) {
    const double end_s = i + 1 < curve.size() ? curve[i + 1].time_s : step.end_s;
    const double from = axis.place_of(curve[i].time_s) / axis.length(), to = axis.place_of(end_s) / axis.length();
    if (to <= from) continue;
    const double lower = std::max(curve[i].lower_mm, whole_step);
    plot.spans.push_back({from, to, lower, curve[i].upper_mm});
    if (std::isfinite(lower)) plot.least_mm = std::min(plot.least_mm.value_or(lower), lower);
  }
}

}  // namespace

GapPlot gap_plot(const Proof& proof, const Timeline& timeline) {
  constexpr double rules_shown = 4, least_top_mm = 20;
  GapPlot plot;
  plot.rule_mm = proof.scene->cell.rules.clearance;
  plot.top_mm = std::max(rules_shown * plot.rule_mm, least_top_mm);
  if (timeline.axis.length() <= 0) return plot;
  for (const StepFigure& step : proof.report.steps)
    if (step.run == timeline.run && step.others == timeline.others) add_spans(step, timeline.axis, plot);
  return plot;
}

std::optional<double> gap_at(const GapPlot& plot, double share) {
  for (const GapSpan& span : plot.spans)
    if (span.from <= share && share <= span.to)
      return std::isfinite(span.lower_mm) ? std::optional(span.lower_mm) : std::nullopt;
  return std::nullopt;
}

}  // namespace cellproof
