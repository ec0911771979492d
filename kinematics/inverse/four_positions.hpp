// SPDX-License-Identifier: GPL-3.0-or-later
// What forward kinematics says of four sets of joint values, worked out side by side: candidates for a solution come in
// fours and eights, and vectors of four numbers take little longer than one.
#pragma once

#include <array>

#include "kinematics/arm.hpp"
#include "kinematics/inverse/arm_structure.hpp"

namespace cellproof {

/// By the arm's DH angles; values may be of any size.
struct FourPositions {
  std::array<double, 4> position_errors;  ///< of the flange, mm
  std::array<double, 4> rotation_errors;  ///< |R − R′|, R′ the wanted rotation: 2 √2 sin(angle / 2)
  std::array<double, 4> determinants;     ///< |det J|, lengths over `length`
};

/// `length`: the arm's length scale (mm).
FourPositions four_positions(const Arm& arm, const ArmStructure& structure, double length,
                             const std::array<Joints, 4>& values, const Pose& flange_in_base);

}  // namespace cellproof
