// SPDX-License-Identifier: GPL-3.0-or-later
// What bodies cover when seen from above.
#pragma once

#include <vector>

#include "scene/scene.hpp"

namespace cellproof {

/// Corners of the least convex outline around points, counterclockwise, none on a straight side. A. M. Andrew, Inf.
/// Proc. Letters 9(5):216-219, 1979.
std::vector<Vector2d> convex_outline(std::vector<Vector2d> points);

/// The outline of a body's mesh along z of `view`, in that frame; `view_in_world` and `body_in_world` are poses.
std::vector<Vector2d> plan_outline(const SceneBody& body, const Pose& body_in_world, const Pose& view_in_world);

}  // namespace cellproof
