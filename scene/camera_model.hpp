// SPDX-License-Identifier: GPL-3.0-or-later
// Pinhole camera with Brown–Conrady distortion (as published in the OpenCV documentation, calib3d).
#pragma once

#include <optional>

#include "scene/cell.hpp"
#include "scene/mesh.hpp"

namespace cellproof {

/// Pixel of a point in the optical frame (mm); none if the point is not in front.
std::optional<Vector2d> project(const Camera& camera, const Vector3d& point_in_camera);

/// Direction (z = 1) in the optical frame of a pixel position.
Vector3d ray_of_pixel(const Camera& camera, const Vector2d& pixel);

/// True inside [-0.5, W-0.5] × [-0.5, H-0.5].
bool in_picture(const Camera& camera, const Vector2d& pixel);

/// The view between the near and far ends of its range as a closed mesh in the optical frame, for pictures.
Mesh view_frustum(const Camera& camera);

}  // namespace cellproof
