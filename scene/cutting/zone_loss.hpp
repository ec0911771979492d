// SPDX-License-Identifier: GPL-3.0-or-later
// What a suction zone loses where the body that bears it is cut.
#pragma once

#include <vector>

#include "scene/cell/cell.hpp"
#include "scene/cutting/convex_solid.hpp"
#include "scene/solids/distance.hpp"

namespace cellproof {

struct ZoneLoss {
  double area_mm2 = 0;        ///< of the zone, holes taken off
  double lost_mm2 = 0;        ///< of it, in the seal plane
  bool seal_crossed = false;  ///< the zone's border runs through what is cut: the seal has to be led round it
};

/// The share of the zone's area that the cutters take in its seal plane; 0 for a zone that the body does not bear: none
/// of its border lies within 2 mm of the body. A circle is taken as a polygon of 360 corners, as a share of its area.
ZoneLoss zone_loss(const Suction& zone, const Pose& zone_in_body, const Solid& body,
                   const std::vector<ConvexSolid>& cutters);

}  // namespace cellproof
