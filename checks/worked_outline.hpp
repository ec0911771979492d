// SPDX-License-Identifier: GPL-3.0-or-later
// Where a machine changes a part: the places at which its meshes before and after differ.
#pragma once

#include <vector>

#include "scene/scene.hpp"

namespace cellproof {

/// Points (mm, in the frame that both parts share) whose hull holds all surface that is new on the part `into`, and the
/// corners of `part` that are gone. Empty where nothing differs by 0.01 mm.
std::vector<Vector3d> changed_points(const Scene& scene, PartId part, PartId into);

}  // namespace cellproof
