// SPDX-License-Identifier: GPL-3.0-or-later
// What the DH table says about the arm; found from the table, never declared.
#pragma once

#include "kinematics/arm.hpp"

namespace cellproof {

/// What three consecutive axes have in common that makes a closed form.
enum class AxisTriple {
  none,     ///< nothing: the joints are found by elimination
  meeting,  ///< they meet in a point
  parallel  ///< they are parallel
};

struct ArmStructure {
  AxisTriple triple = AxisTriple::none;
  int first = 0;  ///< 1 to 4: axes first, first + 1 and first + 2 are meant; 0 without a triple

  bool operator==(const ArmStructure&) const = default;
};

/// The triple of the least trouble, where an arm has several.
ArmStructure arm_structure(const Arm& arm);

/// True if the joints move link 6 in fewer than six directions wherever they stand. Such an arm reaches a pose in no
/// way or in endlessly many.
bool singular_everywhere(const Arm& arm);

}  // namespace cellproof
