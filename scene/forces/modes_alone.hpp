// SPDX-License-Identifier: GPL-3.0-or-later
// How many times over a fixture holds in each way of giving by itself.
#pragma once

#include <limits>

#include "scene/forces/fixture_limit.hpp"

namespace cellproof {

/// Infinite where nothing is demanded; tip NaN without rests.
struct HoldFactors {
  double slip = std::numeric_limits<double>::infinity();
  double tip = std::numeric_limits<double>::infinity();
  double lift = std::numeric_limits<double>::infinity();
};

/// Of a part that vacuum or clamps press: slip along the seat as one piece, (µP + A - W_along)/(S + µL), with P the
/// pressing, A what clamps grip at their tips, W_along the weight along the seat, S and L side force and lift; lift
/// P/L; tip the least over the edges of the rests' hull of the moment that keeps it down over that of the cut where it
/// acts worst, friction or not. Without a cut the weight takes its place.
HoldFactors pressed_factors(const FixtureCase& fixture);

}  // namespace cellproof
