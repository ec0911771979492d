// SPDX-License-Identifier: GPL-3.0-or-later
// Distances of eight triangles from one, and what tells that eight are far from eight.
#pragma once

#include "scene/solids/lanes.hpp"

namespace cellproof::lanes {

/// One direction seen in two frames, the origin of the second standing at `offset` on it.
struct SharedDirection {
  double in_a[3], in_b[3];
  double offset;
};

/// Bits of the triangles of a whose shadows on a direction lie less than `limit` behind the nearest of b's.
unsigned nearer_along(const Triangles& a, const Triangles& b, const SharedDirection& sight, double limit);

/// The same at some instant of a motion of a, in a's frame.
unsigned nearer_along_moved(const Triangles& a, const Triangles& b, const SharedDirection& sight, const Drift& motion,
                            double limit);

/// All in one frame. The formulas of `triangle_gap`, eight at a time, less the search for crossings: those are told as
/// "may cross".
void gaps(const Triangles& triangles, const OneTriangle& one, Gaps& found);

/// Squared lower bounds, from ways that were found in floats: for triangles that don't cross as good as all of the
/// distance. A way tells the two apart by their shadows or it does not: it can't be wrong, only short.
void rough_gaps(const Triangles& triangles, const OneTriangle& one, Gaps& found);

/// Squared lower bounds of the distances at every instant of a motion of the one triangle, by the shadows on the ways
/// of `found`: triangles are convex, and any direction that tells them apart is proof.
void squared_gaps_moved(const Triangles& triangles, const OneTriangle& one, const Gaps& found, const Drift& motion,
                        Row& squared);

}  // namespace cellproof::lanes
