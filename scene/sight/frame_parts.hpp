// SPDX-License-Identifier: GPL-3.0-or-later
// Which parts of a straight line in space a camera has in its picture.
#pragma once

#include <utility>
#include <vector>

#include "scene/sight/camera_model.hpp"

namespace cellproof {

/// A straight line in the camera's frame: from + s way, s in [0, 1].
struct LineInCamera {
  Vector3d from, way;
  Vector3d at(double s) const { return from + s * way; }
};

/// The place on it, ends included, that is nearest to the camera.
Vector3d nearest_to_origin(const LineInCamera& line);

/// The parts of [0, 1] in the picture, from left to right. The picture's edge is found by bisection; a part or a gap
/// that is narrower than about 1/1000 of the line, and next to which the line stays on one side of the picture's edge,
/// may be passed over.
std::vector<std::pair<double, double>> parts_in_picture(const Camera& camera, const LineInCamera& line);

}  // namespace cellproof
