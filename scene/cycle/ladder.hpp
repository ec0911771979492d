// SPDX-License-Identifier: GPL-3.0-or-later
// The quickest way up a ladder: one rung of each layer in turn, each rung and each move between two having its time.
#pragma once

#include <functional>
#include <limits>
#include <vector>

#include <tl/expected.hpp>

namespace cellproof {

/// Nanoseconds: whole numbers, so that sums and ties do not hang on rounding.
using Nanoseconds = long long;
inline constexpr Nanoseconds no_move = std::numeric_limits<Nanoseconds>::max();
Nanoseconds nanoseconds(double seconds);

struct Rung {
  int preference = 0;  ///< lower comes first, before any time
  Nanoseconds time = 0;
  bool blocked = false;
};

/// The time of the move from rung `from` of the layer before (of layer 0: from the ground, `from` 0) to rung `to` of
/// `layer`, or `no_move`.
using MoveTime = std::function<Nanoseconds(std::size_t layer, std::size_t from, std::size_t to)>;

/// What is wrong with going from rung `from` to rung `to` of `layer`: 0 nothing, else the more the worse.
using Faults = std::function<int(std::size_t layer, std::size_t from, std::size_t to)>;

/// Rung by layer.
struct Climb {
  std::vector<std::size_t> rungs;
  Nanoseconds time = 0;
};

/// No way leads to `layer`: the best one below it.
struct StuckClimb {
  std::size_t layer = 0;
  Climb below;
};

/// The best climb through all layers: by the preferences from the first layer on, then by the shortest time, then by
/// the lowest rungs from the last layer back. Dynamic programming, a layer after the other (R. Bellman, 1957).
/// With `faults` those come before all else, the first layer's first: the climb that goes right furthest.
tl::expected<Climb, StuckClimb> best_climb(const std::vector<std::vector<Rung>>& layers, const MoveTime& move,
                                           const Faults& faults = {});

}  // namespace cellproof
