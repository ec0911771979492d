// SPDX-License-Identifier: GPL-3.0-or-later
// How many times over a fixture holds a part against its weight and the cut.
#pragma once

#include <limits>
#include <vector>

#include "scene/forces/tipping_lines.hpp"

namespace cellproof {

/// A part in its fixture, in the seat's frame: forces in N, lengths in mm, the plane the seat's xy.
struct HoldCase {
  double force = 0;                          ///< F, along the seat's -z
  Vector2d force_centre = Vector2d::Zero();  ///< where it acts
  double friction = 0.1;                     ///< of the part in the fixture
  double weight = 0;                         ///< W, of the part into the seat; negative if it hangs from it
  double weight_along = 0;                   ///< size of its part along the seat plane
  Vector2d mass_centre = Vector2d::Zero();   ///< foot of the line of gravity on the seat plane
  double side = 0, lift = 0, height = 0;     ///< the cut: S without weight, L, h above the seat plane
  std::vector<TippingLine> edges;            ///< of the rests' hull; none: tipping is not known
  std::vector<Vector2d> corners;             ///< the part seen along the seat's z, as points that bound it
};

/// Infinite where nothing is demanded; tip NaN without rests.
struct HoldFactors {
  double slip = std::numeric_limits<double>::infinity();
  double tip = std::numeric_limits<double>::infinity();
  double lift = std::numeric_limits<double>::infinity();
};

/// What suction or clamps press: slip (F + W)/(L + S/µ), lift (F + W)/L, tip the least over the edges of
/// (F d_F + W d_W)/(S h + L d_L), d_L that of the part's furthest point. S with the weight along the plane.
HoldFactors pressed_factors(const HoldCase& hold);

/// What jaws clasp from the side with pads µ force in all, `hold.force`: slip is that over the load in the pad planes,
/// the side force and the lift that the weight leaves; lift and tip as above, friction being what holds down.
HoldFactors clasped_factors(const HoldCase& hold);

/// The holding force (N) with which pressed_factors all reach `factor`; infinite if none would.
double pressing_needed(const HoldCase& hold, double factor);

/// The side force (N) of the cut up to which pressed_factors all reach `factor`; negative if not even none would do.
double side_allowed(const HoldCase& hold, double factor);

}  // namespace cellproof
