// SPDX-License-Identifier: GPL-3.0-or-later
// Boxes as convex solids.
#pragma once

#include "scene/cutting/convex_solid.hpp"

namespace cellproof::test {

/// From one corner to the other.
inline ConvexSolid block(const Vector3d& low, const Vector3d& high) {
  std::vector<Vector3d> corners;
  for (const double x : {low.x(), high.x()})
    for (const double y : {low.y(), high.y()})
      for (const double z : {low.z(), high.z()}) corners.emplace_back(x, y, z);
  return *convex_hull(corners);
}

}  // namespace cellproof::test
