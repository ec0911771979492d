// SPDX-License-Identifier: GPL-3.0-or-later
// Distances of eight triangles from one. All in one frame.
#pragma once

#include "scene/lanes.hpp"

namespace cellproof::lanes {

/// The furthest of each triangle along a direction.
void furthest(const Triangles& triangles, const double (&direction)[3], Row& along);

/// The nearest of each triangle along a direction.
void nearest(const Triangles& triangles, const double (&direction)[3], Row& along);

/// `furthest` at every instant of a motion of the triangles.
void furthest_moved(const Triangles& triangles, const double (&direction)[3], const Motion& motion, Row& along);

/// The formulas of `triangle_gap`, eight at a time, less the search for crossings: those are told as "may cross".
void gaps(const Triangles& triangles, const OneTriangle& one, Gaps& found);

/// Squared lower bounds of the distances at every instant of a motion of the one triangle, by the shadows on the ways
/// of `found`: triangles are convex, and any direction that tells them apart is proof.
void squared_gaps_moved(const Triangles& triangles, const OneTriangle& one, const Gaps& found, const Motion& motion,
                        Row& squared);

}  // namespace cellproof::lanes
