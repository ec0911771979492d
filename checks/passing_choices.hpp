// SPDX-License-Identifier: GPL-3.0-or-later
// Where the simple choice of joint solutions and grasp turns fails, another that passes.
#pragma once

#include "checks/measures.hpp"

namespace cellproof {

/// Plans each run anew that can be run but fails (limits, speed, clearance, contact or zones), with every stretch
/// judged by the same questions. Where a choice passes, it takes the run's place in `cycle` and is measured; where none
/// does, the run stays and its `blocked` tells why. Asks for motion and gaps measured; the same on any number of
/// threads.
void take_passing_choices(const Scene& scene, const Run& run, Cycle& cycle, Measures& measures);

/// The planned runs as `prove` would have them. Runs without stretches stay as they are.
Cycle with_passing_choices(const Scene& scene, const Run& run, Cycle planned);

}  // namespace cellproof
