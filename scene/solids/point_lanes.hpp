// SPDX-License-Identifier: GPL-3.0-or-later
// How far a leaf's corners reach along a direction, all of them at once: what tells most pairs of leaves apart.
#pragma once

#include "scene/solids/lanes.hpp"

namespace cellproof::lanes {

/// Sixteen points; unused lanes repeat the first.
struct alignas(64) Points {
  static constexpr int most = 16;
  float x[most], y[most], z[most];
};

/// A direction, and what a motion adds to a point's reach on it: ± (along_shift + lever · p).
struct Reaching {
  float direction[3];
  float lever[3];
  float along_shift;
};

/// For a unit direction; without a motion, `Motion{}`.
Reaching reaching(const double (&direction)[3], const Drift& motion);

/// From the furthest reach of any of a's points to the nearest of b's, each along its own direction. In floats: not
/// more than `reach_rounding` of what points and motion amount to is lost.
float between(const Points& a, const Reaching& along_a, const Points& b, const Reaching& along_b);
/// The same at every instant of a's motion.
float between_moved(const Points& a, const Reaching& along_a, const Points& b, const Reaching& along_b);

/// Each of the three numbers of a dot product is rounded twice, and twice more as they are summed up.
inline constexpr double reach_rounding = 5e-7;

}  // namespace cellproof::lanes
