// SPDX-License-Identifier: GPL-3.0-or-later
// Every time that a camera looks.
#pragma once

#include "scene/cycle/cycle.hpp"
#include "scene/sight/views.hpp"

namespace cellproof {

struct Look {
  std::string run, others, step;
  StepId step_index;
  double time_s = 0;
  ViewRequest view;
};

/// The looks of a camera that the cycle comes to, in the order of runs and time.
std::vector<Look> looks_of(const Scene& scene, const Cycle& cycle, CameraId camera);

}  // namespace cellproof
