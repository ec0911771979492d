// SPDX-License-Identifier: GPL-3.0-or-later
// What stands in a zone that a step asks to be clear.
#pragma once

#include <stop_token>
#include <vector>

#include "scene/cycle/cycle.hpp"

namespace cellproof {

class PairResults;

/// A body of the arm, the end effector or the held part that is in the step's zone, or can't be told from being in it.
struct ZoneIntrusion {
  ZoneId zone;
  BodyId body;
  double share = 0;                  ///< how far the step has come when it was found there
  double out_mm = 0;                 ///< moved this far along `way` the whole body is out of the zone
  Vector3d way = Vector3d::UnitZ();  ///< in world, one of the zone's six directions: the shortest way out
};

/// Certified over the whole continuous step; the zone goes along with what carries it. In is what reaches more than
/// 0.002 mm behind the zone's faces: touching them from outside is not. Empty for steps without `clear`.
std::vector<ZoneIntrusion> zone_intrusions(const Scene& scene, const Stretch& stretch, const std::stop_token& stop,
                                           PairResults& results);

}  // namespace cellproof
