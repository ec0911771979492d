// SPDX-License-Identifier: GPL-3.0-or-later
// The bodies of the bar cell: bars from a drawer are milled from two sides. Arm and mill are those of the flange cell;
// all of it is invented.
#pragma once

#include <vector>

#include "models/named_shape.hpp"

namespace cellproof::models::bar_cell {

/// Vise and its moving jaw, drawer, turning station with cradle and clamp, and chute, each in its own frame.
std::vector<NamedShape> surroundings_shapes();
/// Fingers in the flange frame: for bars of 40, and for 28 and wider.
std::vector<NamedShape> finger_shapes();
/// The bar as sawn, with one side milled, and done: origin in the middle of the sawn bar's bottom, long along x.
std::vector<NamedShape> bar_shapes();

}  // namespace cellproof::models::bar_cell
