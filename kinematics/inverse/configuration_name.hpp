// SPDX-License-Identifier: GPL-3.0-or-later
// Which of its joint solutions an arm stands in, in plain words.
#pragma once

#include <string>

#include "kinematics/arm.hpp"

namespace cellproof {

/// As "shoulder left, elbow up, wrist not flipped". Each part is the sign of a factor of the Jacobian's determinant, so
/// it holds along any motion that meets no singularity.
///   shoulder: seen from axis 1 towards the wrist, axis 1 up, the arm's plane is offset to the left or right; without
///   an
///             offset, axis 2 points to that side
///   elbow:    above or below the line from shoulder to wrist, the wrist in front
///   wrist:    flipped if the DH angle of joint 5 is negative
/// Arms whose axes 2 and 3 are parallel, across axis 1, and whose axes 4, 5, 6 meet, have all three; so have those
/// whose axes 2, 3 and 4 are parallel and whose axes 5 and 6 meet. Any other arm whose axes 4, 5, 6 meet has the
/// wrist's. Empty where there is none.
std::string configuration_name(const Arm& arm, const Joints& values);

}  // namespace cellproof
