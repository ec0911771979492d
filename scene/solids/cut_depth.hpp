// SPDX-License-Identifier: GPL-3.0-or-later
// How deep two solids cut into each other.
#pragma once

#include "scene/solids/distance.hpp"

namespace cellproof {

struct CutDepth {
  double depth_mm = 0;  ///< 0 where no cut is deeper than asked about
  Vector3d point = Vector3d::Constant(std::numeric_limits<double>::quiet_NaN());  ///< the deepest one found, in world
};

/// The greatest depth at which a point on an edge of one mesh lies under the surface of the other, closed, one; both
/// ways. Depths up to `from_mm` (positive) are not looked for. The depth at a point is its distance from the surface,
/// which changes by no more than the way along an edge: edges are halved until that proves that nothing deeper was
/// missed, within 0.01 mm or 5 %. Of the meshes, not of the true surfaces beside them; a body thinner than twice
/// `from_mm` holds nothing that deep, and an open mesh holds nothing at all.
CutDepth cut_depth(const Solid& a, const Pose& a_in_world, const Solid& b, const Pose& b_in_world, double from_mm);

}  // namespace cellproof
