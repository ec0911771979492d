// SPDX-License-Identifier: GPL-3.0-or-later
// Pinhole camera with Brown–Conrady distortion (as published in the OpenCV documentation, calib3d).
#pragma once

#include <optional>

#include "scene/cell/cell.hpp"
#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// Pixel of a point in the optical frame (mm). None if the point is not in front, or so far out that the distortion
/// formula has folded back on its way there: it would then put things into the picture that no lens shows.
std::optional<Vector2d> project(const Camera& camera, const Vector3d& point_in_camera);

/// Derivative of the pixel by the point (pixels/mm). None where `project` gives none.
std::optional<Eigen::Matrix<double, 2, 3>> projection_derivative(const Camera& camera, const Vector3d& point_in_camera);

/// Direction (z = 1) in the optical frame of a pixel position, found by Newton's method and verified to 1e-9 pixels by
/// `project`. None where the distortion formula folds before it reaches the pixel: nothing is seen there.
std::optional<Vector3d> ray_of_pixel(const Camera& camera, const Vector2d& pixel);

/// Direction (z = 1) of the pixel, or of the last place seen on the straight way to it from the principal point.
Vector3d ray_towards(const Camera& camera, const Vector2d& pixel);

/// True inside [-0.5, W-0.5] × [-0.5, H-0.5].
bool in_picture(const Camera& camera, const Vector2d& pixel);

/// Nearest and furthest distance along z (mm) that the lens draws sharply; `far_mm` may be infinity.
struct DepthOfField {
  double near_mm = std::numeric_limits<double>::quiet_NaN();
  double far_mm = std::numeric_limits<double>::quiet_NaN();
};

/// Thin lens: hyperfocal distance H = f²/(N c) + f, near = s (H − f)/(H + s − 2f), far = s (H − f)/(H − s).
/// None without `focus` and a focal length.
std::optional<DepthOfField> depth_of_field(const Camera& camera);

/// The view between the near and far ends of its range as a closed mesh in the optical frame, for pictures. The four
/// corners near come first, then the four far, each from the top left clockwise in the picture.
Mesh view_frustum(const Camera& camera);

}  // namespace cellproof
