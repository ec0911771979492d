// SPDX-License-Identifier: GPL-3.0-or-later
// How many times over jaws that clasp a part from the side hold it.
#pragma once

#include <vector>

#include "scene/forces/modes_alone.hpp"
#include "scene/forces/tipping_lines.hpp"

namespace cellproof {

/// A part between jaws, in the seat's frame: forces in N, lengths in mm, the plane the seat's xy.
struct ClaspedCase {
  double friction_force = 0;                ///< of all pads together
  Vector2d jaw_middle = Vector2d::Zero();   ///< where it acts
  double weight = 0;                        ///< of the part into the seat; negative if it hangs from it
  double weight_along = 0;                  ///< size of its part along the seat plane
  Vector2d mass_centre = Vector2d::Zero();  ///< foot of the line of gravity on the seat plane
  double side = 0, lift = 0, height = 0;    ///< the cut: S without weight, L, h above the seat plane
  std::vector<TippingLine> edges;           ///< of the rests' hull; none: tipping is not known
  std::vector<Vector2d> over;               ///< where the cut acts: anywhere within their hull
};

/// Friction of the pads is what holds: slip is it over the load in the pad planes, the side force and the lift that the
/// weight leaves, whichever way they point; lift (F + W)/L; tip the least over the edges of (F d_F + W d_W)/(S h +
/// L d_L), d_L of the place furthest inward. What turns the part in the pads is not asked: no size of the pads is
/// given.
HoldFactors clasped_factors(const ClaspedCase& hold);

/// How many times the friction force must be for all of clasped_factors to reach `factor`; infinite if none would do.
double clasping_needed(const ClaspedCase& hold, double factor);

}  // namespace cellproof
