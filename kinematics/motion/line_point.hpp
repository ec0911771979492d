// SPDX-License-Identifier: GPL-3.0-or-later
// One point of a followed line: the joint values on it and how they change along it.
#pragma once

#include <optional>

#include "kinematics/motion/path.hpp"

namespace cellproof {

/// The joint values next to `guess` that put the tcp where the line is at s; nothing if Newton's iteration fails.
/// `length` (mm) weighs lengths against angles.
std::optional<Joints> settle_on_line(const Arm& arm, const LinearTarget& line, double s, const Joints& guess,
                                     double length);

/// Derivatives by s at joint values on the line, through the Jacobian; least in size where it loses rank.
PathPoint line_point(const Arm& arm, const LinearTarget& line, const Joints& values, double length);

}  // namespace cellproof
