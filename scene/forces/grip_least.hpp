// SPDX-License-Identifier: GPL-3.0-or-later
// The instant at which a grip holds least, over a whole timed move.
#pragma once

#include <functional>
#include <limits>
#include <optional>
#include <vector>

#include "scene/forces/grip_factors.hpp"
#include "scene/forces/held_part.hpp"

namespace cellproof {

/// A move with a part in hand, and what holds it.
struct GripMove {
  const Arm& arm;
  const Motion& motion;
  const HeldPart& part;
  std::function<GripFactors(const Load&)> holder;  ///< of a load in the tcp's frame
  std::optional<double> stop;                      ///< mm/s^2: also stop this hard at every instant
  double slowness = 1;  ///< the law run at this share of its speed, its square of acceleration
  Joints joint_stops = Joints::Constant(std::numeric_limits<double>::infinity());  ///< as in StopLimits
};

struct GripInstant {
  double time = 0;  ///< s since the move's start, at full speed
  Load load;        ///< in the tcp's frame
  GripFactors factors;
};

/// The least over the whole move, without and with the stop.
struct GripLeast {
  GripInstant moving;
  std::optional<GripInstant> stopped;
  bool stop_by_joints = false;  ///< the tcp only turns: nothing tells how it stops but the joints
  const GripInstant& least() const;
  bool stop_is_least() const;
};

/// Each phase of the law is looked at by itself, so that both sides of a jump count; no joint turns more than 2 degrees
/// between instants, the whole move has 36 at least, and about each that is lower than its neighbours the least is
/// searched by golden section. A stop is made along the path. Where the tcp only turns it is the joints' own, and there
/// is none if one that moves does not tell.
GripLeast least_grip(const GripMove& move);

/// The greatest slowness at which the move, stops included, holds `factor` times: none if not even a crawl does.
std::optional<double> slowness_needed(GripMove move, double factor);

/// The hardest stop (mm/s^2) at which it does; none if not even the move alone does.
std::optional<double> stop_allowed(GripMove move, double factor);

}  // namespace cellproof
