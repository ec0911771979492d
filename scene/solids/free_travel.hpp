// SPDX-License-Identifier: GPL-3.0-or-later
// How far a mesh can be moved straight ahead until it meets another.
#pragma once

#include "scene/solids/distance.hpp"

namespace cellproof {

/// How far (mm) `a` can be moved along `way` (mm, world, not zero; its length is the most that is asked about) with its
/// surface kept clear of b's all along, b at rest. Proven: up to there nothing touches. A thousandth of a millimetre
/// further it comes within a thousandth of b, or `way` ends. 0 where they touch at once, or where some of one lies
/// in the other. Throws std::invalid_argument as `nearest` does.
double free_travel(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, const Vector3d& way);

}  // namespace cellproof
