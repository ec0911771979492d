// SPDX-License-Identifier: GPL-3.0-or-later
// Whether the part wholly covers the suction zones that are to hold it.
#pragma once

#include <string>
#include <vector>

#include "scene/forces/seal_cover.hpp"
#include "scene/scene.hpp"

namespace cellproof {

struct ZoneCover {
  SuctionId zone;
  SealCover cover;
};

/// The part's bodies against the named zones, at an instant. The tolerance of the seal plane is `contact_depth`, 0.1 mm
/// at least.
std::vector<ZoneCover> zone_covers(const Scene& scene, const Arrangement& arrangement, const Joints& joints,
                                   const std::vector<std::string>& zones, PartId part, const Pose& part_in_world);

double seal_tolerance_mm(const Rules& rules);

}  // namespace cellproof
