// SPDX-License-Identifier: GPL-3.0-or-later
// The space that a camera looks through, as solids in its optical frame.
#pragma once

#include <array>
#include <optional>

#include "scene/cell/cell.hpp"
#include "scene/cutting/convex_solid.hpp"

namespace cellproof {

/// Sides of the polygon that stands for the lens's round front, drawn around it: at most 0.13 % of its radius outside.
constexpr int lens_sides = 64;

/// From the lens's front disk (`lens_radius`, `front` ahead of the optical centre; a radius of 0 is a point) to the
/// picture's outline at the far end of `range`, grown by `margin_mm` to all sides there. Nothing where they enclose no
/// space.
std::optional<ConvexSolid> view_of_frame(const Camera& camera, double margin_mm);

/// From the same disk to a target's outline (mm along its x and y), grown by `margin_mm` to all sides in its plane.
std::optional<ConvexSolid> view_of_target(const Camera& camera, const Pose& target_in_camera,
                                          const std::array<double, 2>& size, double margin_mm);

/// How far (mm) the picture's outline reaches beyond the lens's front disk in its plane: rays that start beside the
/// lens. 0 where the disk holds it, and where `front` is 0.
double view_beside_lens(const Camera& camera);

}  // namespace cellproof
