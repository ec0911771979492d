// SPDX-License-Identifier: GPL-3.0-or-later
// The turns about its grasp's z that each pick may take, in the order in which they are tried.
#pragma once

#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// The grasp that a pick takes the part by: the one it names, else the first.
const Grasp& grasp_of(const Part& part, const PickStep& pick);

/// Turns (rad) by pick step, in order. "any": every 15 deg from 0, then half way between.
std::vector<std::vector<double>> turns_of_picks(const Cell& cell);

}  // namespace cellproof
