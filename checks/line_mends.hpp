// SPDX-License-Identifier: GPL-3.0-or-later
// Where a step can't be reached or run: other approach directions and turns about the approach axis that would do.
#pragma once

#include <stop_token>
#include <string>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

/// In words what was tried and lets every run that ends at this step go on past it: for a pick
/// its grasp turned, for a pick or place all approach and retreat offsets tilted, for a line its tool turned; at most
/// two of each kind, the smallest change first. Says so where none does. Empty for other steps, and where one such run
/// ends for another reason than reach, limits or a singular pose.
std::string line_mends(const Scene& scene, const Cycle& cycle, StepId step_index, const std::stop_token& stop);

}  // namespace cellproof
