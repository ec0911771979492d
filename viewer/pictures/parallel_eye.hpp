// SPDX-License-Identifier: GPL-3.0-or-later
// The eye of a still: it looks along one direction everywhere and fits what is to be shown.
#pragma once

#include "scene/sight/sight.hpp"
#include "viewer/pictures/canvas.hpp"
#include "viewer/pictures/still.hpp"
#include "viewer/pictures/surfaces.hpp"

namespace cellproof {

/// A parallel projection: the eye's frame has x right, y down, z forward.
struct ParallelEye {
  Pose in_world = Pose::Identity();
  double mm_per_pixel = 1;
  Vector2d middle = Vector2d::Zero();  ///< pixel of the eye's axis

  Vector2d pixel(const Vector3d& point_in_world) const;
  double depth(const Vector3d& point_in_world) const;
  Eye eye(int width, int height) const;
};

/// The way the eye looks from a side, in world; not of unit length.
Vector3d direction_from(Side side);

/// Right, down and forward (unit, world) of an eye that looks along a direction (not zero): the world's z is up in the
/// picture, its y where it looks along z.
Eigen::Matrix3d eye_axes(const Vector3d& direction);

/// Looks along a direction (world, not zero), the world's z up in the picture, its y where it looks along z, so that
/// `points` (world) fill `area` of the picture. It stands so far back that all of `everything` lies before it.
ParallelEye fitted_eye(const Vector3d& direction, const std::vector<Vector3d>& points,
                       const std::vector<Vector3d>& everything, const Area& area);

}  // namespace cellproof
