// SPDX-License-Identifier: GPL-3.0-or-later
// How many times a fixture holds the cut at each place where it may act.
#pragma once

#include <vector>

#include "scene/forces/fixture_limit.hpp"

namespace cellproof {

/// Square cells over a cut's `over`, in the seat's xy (mm), counted along x, then row by row along y.
struct FactorMap {
  Vector2d first = Vector2d::Zero();  ///< middle of the first cell
  double step_mm = 0;
  std::size_t columns = 0, rows = 0;
  std::vector<double> factors;  ///< with the cut at a cell's middle alone; NaN where that is not within `over`

  Vector2d middle_of(std::size_t cell) const;
};

/// At most so many cells; those of `over` on a line or at one place all count. `threads`: 0 for all.
FactorMap factor_map(const FixtureCase& fixture, std::size_t most_cells, int threads = 0);

}  // namespace cellproof
