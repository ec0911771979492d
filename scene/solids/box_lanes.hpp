// SPDX-License-Identifier: GPL-3.0-or-later
// Lower bounds of the distances of eight boxes from one. All in one frame.
#pragma once

#include "scene/solids/lanes.hpp"

namespace cellproof::lanes {

/// Rounding is on the near side: floats of coordinates of metres cost a few micrometres.
/// Squared lower bounds of the distances of eight boxes from one: the largest of the gaps seen in each box's own frame,
/// along the line of the middles and along `direction` (unit). Less than 0 where boxes may overlap: the deeper, the
/// less. Returns the bits of the boxes below `limit`.
unsigned squared_gaps(const Boxes& boxes, const OneBox& one, const double (&direction)[3], float limit,
                      FloatRow& squared);

/// The same at every instant of a motion of the eight boxes.
unsigned squared_gaps_moved_boxes(const Boxes& boxes, const OneBox& one, const double (&direction)[3],
                                  const Drift& motion, float limit, FloatRow& squared);
/// The same at every instant of a motion of the one box.
unsigned squared_gaps_moved_one(const Boxes& boxes, const OneBox& one, const double (&direction)[3],
                                const Drift& motion, float limit, FloatRow& squared);

/// The number rounded up.
float float_above(double number);

}  // namespace cellproof::lanes
