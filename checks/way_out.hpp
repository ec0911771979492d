// SPDX-License-Identifier: GPL-3.0-or-later
// What to move, which way and how far, so that a pair that fails its clearance keeps what is asked.
#pragma once

#include <optional>
#include <stop_token>
#include <string>

#include "scene/clearance/clearance.hpp"

namespace cellproof {

/// A shift of one body of a pair along one axis that a shop can measure along.
struct WayOut {
  BodyId body;
  bool by_hand = false;    ///< the body can be set elsewhere; else the motion has to be led elsewhere
  bool in_flange = false;  ///< along an axis of the flange; else of world
  int axis = -1;           ///< 0 x, 1 y, 2 z
  int sign = 1;
  double shift_mm = std::numeric_limits<double>::quiet_NaN();  ///< rounded up to 0.1 mm
  bool all_along = false;  ///< enough for the whole stretch, else for the instant of the least distance
};

/// The shortest of the six shifts that gains the pair what it is asked. What stands in the cell is moved before what
/// the flange carries; a body that the step's motion follows (the seat's, the tcp's, the arm's own stand) can't help by
/// moving, and where no body can, the carried one is led elsewhere. Each shift is tried: the distance is measured again
/// with the body moved, at the instant, then over the whole stretch. `pair` has a share: what fails does.
WayOut way_out(const Scene& scene, const CycleRun& run, const Stretch& stretch, const PairAsked& asked,
               const PairClearance& pair, const std::stop_token& stop = {});

/// One for each pair that falls short of what it is asked, in their order.
std::vector<WayOut> ways_out(const Scene& scene, const CycleRun& run, const Stretch& stretch,
                             const std::vector<PairAsked>& asked, const StretchClearance& clearance,
                             const std::stop_token& stop = {});

/// "4.2 mm along world -y".
std::string shift_text(const WayOut& way);

}  // namespace cellproof
