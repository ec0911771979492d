// SPDX-License-Identifier: GPL-3.0-or-later
// Several suction zones as one grip: what they hold against a load.
#pragma once

#include <vector>

#include "scene/cell/cell.hpp"
#include "scene/forces/grip_factors.hpp"
#include "scene/forces/part_load.hpp"
#include "scene/forces/tipping_lines.hpp"

namespace cellproof {

/// A zone placed in the frame of the grip.
struct PlacedZone {
  Suction zone;
  Pose in_grip = Pose::Identity();
};

/// Zones in one seal plane: xy of `plane_in_grip`, +z into the part, origin anywhere in it.
struct SuctionGrip {
  /// A zone in the seal plane. Its seal carries the friction: `seal` are points (a circle: its disk) that bound it.
  struct Pad {
    double force = 0, friction = 0;
    Vector2d centre = Vector2d::Zero();       ///< of its area: where it pulls
    Vector2d seal_centre = Vector2d::Zero();  ///< of its seal line
    double seal_spread = 0;                   ///< mean squared distance (mm^2) of the seal line from seal_centre
    std::vector<Disk> seal;
  };
  Pose plane_in_grip = Pose::Identity();
  std::vector<Pad> pads;
  double force = 0;                                ///< N, of all pads
  Vector2d centre = Vector2d::Zero();              ///< where it acts
  std::vector<TippingLine> edges;                  ///< of the hull of all zones
  double greatest_tilt = 0, greatest_step_mm = 0;  ///< how far the zones are from lying in one plane
};

/// The seal plane is the first zone's; others are projected onto it, a tilted one pulling with the cosine of its tilt.
SuctionGrip suction_grip(const std::vector<PlacedZone>& zones);

/// Load in the grip's frame. pull F/F_pull; slip F/(F_pull + F_shear/µ), F_shear with the twisting moment the greatest
/// that any place of the seals carries if all share shear evenly and twist by their distance from the middle (an even
/// elastic share; by the static theorem no seal need slip below it); peel F d/M about each edge of the hull. What
/// presses the part into the seal earns nothing.
GripFactors grip_factors(const SuctionGrip& grip, const Load& load);

/// What each zone carries (N, by pad) of a load that pulls off: the part as a rigid plate on zones that give way in
/// proportion to their force. Negative where the load presses.
std::vector<double> zone_loads(const SuctionGrip& grip, const Load& load);

}  // namespace cellproof
