// SPDX-License-Identifier: GPL-3.0-or-later
// From the cell's steps to the timed cycle: which solution each target takes, every line run, every time known.
#pragma once

#include <stop_token>

#include "scene/cycle.hpp"

namespace cellproof {

/// Every run of the cycle. A pose target takes, among the solutions within limits (whole turns included) whose
/// following lines can be run, the one with the shortest joint move, ties by lowest joint values in order; with `near`,
/// the one whose greatest joint difference from it is least. Asks for cell.cycle.
Cycle plan_cycle(const Scene& scene, const std::stop_token& stop = {});

}  // namespace cellproof
