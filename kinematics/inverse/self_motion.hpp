// SPDX-License-Identifier: GPL-3.0-or-later
// Whether an arm can move its joints and leave the flange where it is: one of a continuum of solutions.
#pragma once

#include "kinematics/forward.hpp"

namespace cellproof {

/// True if from `values` a small motion of the joints brings the flange back to where it was, with the joints
/// elsewhere.
bool moves_in_place(const Arm& arm, const Joints& values, double length);

}  // namespace cellproof
