// SPDX-License-Identifier: GPL-3.0-or-later
// Where else a camera could look from: poses near the stated one, each proved with the whole cycle.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "checks/prove.hpp"
#include "checks/studies/look_change.hpp"
#include "scene/basics/model_error.hpp"

namespace cellproof {

struct OtherLook {
  LookChange change;
  MoveTarget to;                ///< what to write as the step's `to`, as it was proved
  double visible = 0;           ///< the least share of a target over the runs
  double cycle_time_s = 0;      ///< the longest run's
  std::size_t still_fails = 0;  ///< findings of the stated cycle that this one has too
};

struct OtherLooks {
  std::string camera, step;
  std::string run;     ///< where the stated look is worst
  std::string others;  ///< as a finding's
  double visible = 0;  ///< there
  double cycle_time_s = 0;
  std::size_t tried = 0, in_reach = 0, seeing = 0, proved = 0;
  std::vector<OtherLook> passing;  ///< at most three, the least change first
};

/// Look steps.
struct LooksOfCycle {
  std::vector<StepId> failing;        ///< a sightline fails
  std::vector<StepId> never_reached;  ///< no run comes to them
};
LooksOfCycle looks_of_cycle(const Scene& scene, const Run& run);

/// Tries the changes of look_changes on a look step, in their order: within limits and seeing every target as the rules
/// ask, at the run where the stated look is worst, with the solution nearest to the stated one; then in the whole
/// cycle with the simple choice of solutions, which must have no failing finding that the stated cycle has not, and at
/// this look no failing sightline. Stops at three that pass, or when 40 cycles are proved. The same on any number of
/// threads. Error: the camera does not ride on the arm, the step is no look, the cycle never comes to it, or its runs
/// stand in different poses that the step does not state.
tl::expected<OtherLooks, ModelError> other_looks(const Scene& scene, StepId step_index, const Run& run);

}  // namespace cellproof
