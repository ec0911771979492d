// SPDX-License-Identifier: GPL-3.0-or-later
// Several suction zones as one grip: what they hold against a load.
#pragma once

#include <vector>

#include "scene/cell/cell.hpp"
#include "scene/forces/grip_factors.hpp"
#include "scene/forces/lip_bed.hpp"
#include "scene/forces/part_load.hpp"

namespace cellproof {

/// A zone placed in the frame of the grip.
struct PlacedZone {
  Suction zone;
  Pose in_grip = Pose::Identity();
};

/// Zones in one seal plane: xy of `plane_in_grip`, +z into the part, origin anywhere in it. Their lips, holes' lips
/// too, are one even elastic bed between a rigid part and a rigid gripper.
struct SuctionGrip {
  /// A zone in the seal plane, about the bed's middle.
  struct Pad {
    double force = 0;                    ///< N
    Vector2d centre = Vector2d::Zero();  ///< of its area: where it pulls
    LipSums lips;
  };
  Pose plane_in_grip = Pose::Identity();
  std::vector<Pad> pads;
  double force = 0;  ///< N, of all pads
  LipBed bed;
  LinearPressure at_rest;                          ///< N/mm along the lips, by the vacuum alone
  double greatest_tilt = 0, greatest_step_mm = 0;  ///< how far the zones are from lying in one plane
};

/// The seal plane is the first zone's; others are projected onto it, a tilted one pulling with the cosine of its tilt.
SuctionGrip suction_grip(const std::vector<PlacedZone>& zones);

/// Load in the grip's frame, all of it growing together. peel: the greatest multiple at which every point of the lips
/// is still pressed, where the pressure along them, linear over the plane, balances vacuum and load. slip: the greatest
/// at which the lips hold side force and twist by friction under the pressure that is left then; never above peel.
/// pull: F/F_pull, for information, never below peel. What presses the part into the lips adds no pressure, but tips it
/// where it acts off the bed's middle.
GripFactors grip_factors(const SuctionGrip& grip, const Load& load);

/// What each zone carries (N, by pad): its vacuum less the pressure of its own lips under the load. All together carry
/// what pulls off; below 0 where the lips are pressed by more than the vacuum.
std::vector<double> zone_loads(const SuctionGrip& grip, const Load& load);

}  // namespace cellproof
