// SPDX-License-Identifier: GPL-3.0-or-later
// The joint solutions of a pose as an arm with limits needs them: of a continuum also the place that the limits leave.
#pragma once

#include <optional>

#include "kinematics/inverse/inverse.hpp"

namespace cellproof {

struct StanceWish {
  Joints from = Joints::Zero();  ///< where the arm stands: free joints stay there if they can (rad)
  std::optional<Joints> near;    ///< joint values to stay close to instead (rad)
};

/// inverse() at the wish. Of each continuum of which no solution found is within the limits, and with `near` of each,
/// also its place within the limits whose greatest joint difference from the wish is least. Where all that is out of
/// the limits, also a place that a search from many starts finds.
tl::expected<Solutions, std::string> stances(const Arm& arm, const Pose& flange_in_base, const StanceWish& wish);

/// The solution at joint values (rad) that take the pose; marked as a double root by whether it is one.
Solution solution_at(const Arm& arm, const Pose& flange_in_base, const Joints& values);

/// True if the flange is at the pose as exactly as a solution has it there, and the joints within their limits.
bool stands_at(const Arm& arm, const Pose& flange_in_base, const Joints& values);

/// The exact pose from values that nearly take it, within the limits; nothing if they can't.
std::optional<Joints> stance_near(const Arm& arm, const Pose& flange_in_base, const Joints& values);

}  // namespace cellproof
