// SPDX-License-Identifier: GPL-3.0-or-later
// What arms are made of: drums about level axes, drawn in place and then put into their links' frames.
#pragma once

#include "models/solid_shapes.hpp"

namespace cellproof::models {

/// A body of revolution, drawn about z, put about the level axis along y through (x, z).
Shape about_y(const Shape& shape, double x, double z);
/// The same about the axis along x through z.
Shape about_x(const Shape& shape, double z);

/// A cylinder about z from z = from to z = to, its rims rounded by `edge`.
Shape rounded_drum(double radius, double from, double to, double edge);

/// A frame by its origin, x and z.
Pose frame(const Vector3d& origin, const Vector3d& x, const Vector3d& z);

}  // namespace cellproof::models
