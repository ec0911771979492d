// SPDX-License-Identifier: GPL-3.0-or-later
// One placement of a survey and what the proof says of it.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "scene/placement.hpp"

namespace cellproof {

/// A figure over what its rule asks: `least` is proven, and it is found to be no more than `most`.
struct RuleShare {
  std::string rule;  ///< which, of what
  double least = 0, most = 0;
  bool operator==(const RuleShare&) const = default;
};

struct SpotVerdict {
  bool pass = false;
  std::string reason, step;     ///< of a spot that fails: the check, and the step where it fails first
  std::optional<double> score;  ///< of shares: see with_scores; none if no rule asks anything
  std::optional<double> cycle_time_s;
  std::vector<RuleShare> shares{};  ///< of a spot that passes
};

/// From where things stand (one placement for each mover) to the verdict. Called from many threads at once.
using SpotJudge = std::function<SpotVerdict(std::span<const Placement>)>;

struct Spot {
  std::size_t index = 0;  ///< into the survey's grid
  SpotVerdict verdict;
};

}  // namespace cellproof
