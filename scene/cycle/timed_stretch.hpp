// SPDX-License-Identifier: GPL-3.0-or-later
// A leg and the way it is run, made into a timed stretch of the cycle.
#pragma once

#include "scene/cycle/line_legs.hpp"

namespace cellproof {

/// `way` is null where the arm stands at `standing` (rad); the stretch begins at `start_s`.
Stretch timed_stretch(const Scene& scene, const Leg& leg, const Way* way, const Joints& standing, double start_s);

/// The cycle's settings with the leg's own step's overrides.
const SpeedSettings& speeds_of(const Scene& scene, const Leg& leg);

}  // namespace cellproof
