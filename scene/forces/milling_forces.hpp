// SPDX-License-Identifier: GPL-3.0-or-later
// What a mill pushes the part with while it turns, from cutter, feed and material.
#pragma once

#include "scene/cell/cell.hpp"

namespace cellproof {

/// Where a tooth is in the part: angles from where it would leave a slot's one wall to its other wall at pi (rad), so
/// that its chip is as thick as the feed per tooth times the sine.
struct Engagement {
  double from = 0, to = 0;
};

/// At one side the cut begins (up milling) at 0; down milling is its mirror image and pushes as hard.
Engagement engagement(const Cutter& cutter);

double feed_per_tooth(const Cutter& cutter);  ///< mm
double thickest_chip(const Cutter& cutter);   ///< mm
double cutting_speed(const Cutter& cutter);   ///< mm/s, of the teeth

/// N. Of the sideways force its size.
struct MillingForces {
  double side_peak = 0, side_mean = 0;
  double lift_peak = 0, thrust_peak = 0;  ///< off the seat and toward it; one of them is 0
  double tangential_mean = 0;             ///< of all teeth together: times the cutting speed it is the power
};

/// Model: a tooth pushes with kc1.1 h^(1-mc) for each mm of its depth along its path, h the chip's thickness (O.
/// Kienzle, VDI-Z 94:299-305, 1952, from memory), `radial` times as much along the radius, and tan(helix) times as much
/// along the axis (what an edge without friction would). Rigid, teeth alike, chips of a feed that is small beside the
/// diameter. Along the depth a tooth lags by the helix: its share is a window over the angles, integrated by Gauss's
/// rule. The peaks are bounds: pieces of a turn between the angles at which an edge's end enters or leaves are halved
/// until none can rise above the result, which is above the true peak by 0.2 % at the most.
MillingForces milling_forces(const Cutter& cutter);

}  // namespace cellproof
