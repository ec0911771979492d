// SPDX-License-Identifier: GPL-3.0-or-later
// How far bodies stand from the joints that move them, for all joint values at once.
#pragma once

#include "scene/scene.hpp"

namespace cellproof {

/// For each joint an upper bound (mm) on the distance of any point that it moves from its axis: arm, end effector and,
/// the held part, if there is one.
Joints reach_from_axes(const Scene& scene, PartId held_part);

}  // namespace cellproof
