// SPDX-License-Identifier: GPL-3.0-or-later
// The least distance of a stretch along time, enclosed from both sides: what a plot of it needs.
#pragma once

#include <stop_token>
#include <vector>

#include "scene/clearance/clearance.hpp"

namespace cellproof {

/// From `time_s` to the next point's: over that whole interval no asked pair is nearer than `lower_mm`, and at some
/// instant of it one is as near as `upper_mm`. Both are infinite where no pair is asked about.
struct CurvePoint {
  double time_s = 0;
  double lower_mm = std::numeric_limits<double>::infinity(), upper_mm = lower_mm;
};

/// At most 40 points, at least 0.05 s apart, the first at the stretch's start; the last interval ends with the stretch.
/// One point where nothing moves. Each interval is searched once for each pair that may be its closest: the enclosure
/// is as wide as the motion is fast, never wrong. Not to be used once stop is requested.
std::vector<CurvePoint> clearance_over_time(const Scene& scene, const Stretch& stretch,
                                            const std::vector<PairAsked>& asked, const std::stop_token& stop = {});

}  // namespace cellproof
