// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the arm stands in one way at all seats.
#pragma once

#include <string>
#include <vector>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

/// The runs of a cycle whose arm stands in the same way at the end of a move.
struct WayTaken {
  std::string configuration;      ///< as `configuration_name`
  std::vector<std::size_t> runs;  ///< into cycle.runs
};

/// A move at whose end the arm does not stand in the same way in all runs.
struct SplitMove {
  std::string step;
  StepId step_index;
  std::vector<WayTaken> ways;  ///< at least two, in the order of their first runs
};

/// The joint moves of the cycle that end in different ways, in running order. Runs are compared as far as they go.
/// Empty for an arm without names for its ways.
std::vector<SplitMove> ways_at_seats(const Scene& scene, const Cycle& cycle);

}  // namespace cellproof
