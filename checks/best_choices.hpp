// SPDX-License-Identifier: GPL-3.0-or-later
// Where the simple choice of joint solutions and grasp turns fails, another that passes, or else comes furthest.
#pragma once

#include "checks/measures.hpp"

namespace cellproof {

/// Plans each run anew that fails (limits, speed, clearance, contact or zones), as far as it can be run, with every
/// stretch judged by the same questions. The choice that passes takes the run's place in `cycle` and is measured; where
/// none does, the one that comes furthest before it fails, and the run's `blocked` tells why the others do not serve.
/// With `same_configuration` all runs are planned anew together. Asks for motion and gaps measured; the same on any
/// number of threads.
void take_best_choices(const Scene& scene, const Run& run, Cycle& cycle, Measures& measures);

/// The same of one run, whose number in the cycle it is. Not to be used with `same_configuration`.
void take_best_choice(const Scene& scene, const Run& run, std::size_t number, CycleRun& mine,
                      std::vector<StretchMeasures>& measures);

/// The planned runs as `prove` would have them. Runs without stretches stay as they are.
Cycle with_best_choices(const Scene& scene, const Run& run, Cycle planned);

}  // namespace cellproof
