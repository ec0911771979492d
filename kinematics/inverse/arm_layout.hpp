// SPDX-License-Identifier: GPL-3.0-or-later
// Whether an arm has a shoulder, an elbow and a wrist as people speak of them; found from its table.
#pragma once

#include "kinematics/arm.hpp"

namespace cellproof {

enum class ArmLayout {
  other,
  wrist_only,       ///< axes 4, 5, 6 meet
  spherical_wrist,  ///< they do, and axes 2 and 3 are parallel, across axis 1
  parallel_trio     ///< axes 2, 3, 4 are parallel, across axis 1; axes 5 and 6 meet
};

ArmLayout arm_layout(const Arm& arm);

}  // namespace cellproof
