// SPDX-License-Identifier: GPL-3.0-or-later
// Where on a continuum of joint solutions an arm stands within its limits: the curve is followed all round.
#pragma once

#include <optional>

#include "kinematics/forward.hpp"

namespace cellproof {

/// Of the joint solutions that hang together with `values` (rad, a solution of the pose), the one within the limits of
/// joints and of sums, whole turns included, whose greatest joint difference from `reference` is least, to 1e-6 rad.
/// Nothing if none is within limits, or `values` is a solution by itself. Where solutions fill a surface, curves
/// through `values` are followed, so that nothing is then no proof.
std::optional<Joints> nearest_within_limits(const Arm& arm, const Pose& flange_in_base, const Joints& values,
                                            const Joints& reference);

}  // namespace cellproof
