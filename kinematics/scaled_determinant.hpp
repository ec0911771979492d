// SPDX-License-Identifier: GPL-3.0-or-later
// The determinant of the Jacobian by the factors that the arm's structure leaves, and what it says of singularity.
#pragma once

#include "kinematics/arm_structure.hpp"
#include "kinematics/forward.hpp"

namespace cellproof {

/// |det J| by the DH angles, lengths over `length` (mm). Where three axes meet or are parallel it is a product, found
/// at a tenth of the cost of an elimination.
double scaled_determinant(const Arm& arm, const ArmFrames& frames, const ArmStructure& structure, double length);

/// Above this scaled |det J| the least singular value of the flange's scaled Jacobian can't be below `least`, for an
/// arm whose values are DH angles but for their signs.
double clear_determinant(const Arm& arm, double length, double least);

}  // namespace cellproof
