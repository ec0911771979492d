// SPDX-License-Identifier: GPL-3.0-or-later
// What bodies cover when seen from above.
#pragma once

#include <vector>

#include "scene/scene.hpp"

namespace cellproof {

/// The convex outline of a body's mesh along z of `view`, in that frame; `view_in_world` and `body_in_world` are poses.
std::vector<Vector2d> plan_outline(const SceneBody& body, const Pose& body_in_world, const Pose& view_in_world);

}  // namespace cellproof
