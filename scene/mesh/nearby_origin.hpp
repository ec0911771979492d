// SPDX-License-Identifier: GPL-3.0-or-later
// Where coordinates of a mesh are small, however far off its own origin it is drawn.
#pragma once

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// A place near a box, on a grid several times as coarse as the box is large: the origin itself for what is drawn
/// about it. Coordinates less this are no larger than the box asks for, and as exact as they were.
Vector3d nearby_origin(const Box& box);

}  // namespace cellproof
