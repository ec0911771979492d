// SPDX-License-Identifier: GPL-3.0-or-later
// The clearance of a run along its timeline, as a curve to draw.
#pragma once

#include <optional>
#include <vector>

#include "viewer/timeline.hpp"

namespace cellproof {

/// From `from` to `to` along the line as drawn no checked pair is nearer than `lower_mm`, and at some instant one is as
/// near as `upper_mm`.
struct GapSpan {
  double from = 0, to = 0;            ///< shares of the line, 0 … 1
  double lower_mm = 0, upper_mm = 0;  ///< infinite where nothing is checked
};

struct GapPlot {
  std::vector<GapSpan> spans;
  double rule_mm = 0;              ///< rules.clearance
  std::optional<double> least_mm;  ///< of the whole run; none where nothing is checked
  double top_mm = 1;               ///< what the plot's upper rim stands for: what is near the rule is what matters
};

/// Of a proof that measured curves.
GapPlot gap_plot(const Proof& proof, const Timeline& timeline);

/// The least clearance proven at a share of the line, none where nothing is checked.
std::optional<double> gap_at(const GapPlot& plot, double share);

}  // namespace cellproof
