// SPDX-License-Identifier: GPL-3.0-or-later
// Where things can stand: every placement proved, the best one and how far it may be off.
#pragma once

#include <functional>
#include <optional>
#include <stop_token>
#include <vector>

#include "checks/studies/spot.hpp"
#include "checks/studies/survey_grid.hpp"

namespace cellproof {

/// Which part of the spots is looked at: those with index % parts == part.
struct Slice {
  std::size_t part = 0, parts = 1;
};

/// How a survey is run. Results do not depend on `threads`.
struct SurveyRun {
  int threads = 0;  ///< 0: all
  std::stop_token stop{};
  Slice slice;
  std::optional<std::size_t> budget;                             ///< placements at most; coarse to fine then
  std::function<void(std::size_t done, std::size_t of)> told{};  ///< progress; may be empty
  /// Given each round's new spots, in order; false, where they can't be kept, ends the survey. May be empty.
  std::function<bool(std::span<const Spot>)> keep{};
};

/// The spots of the slice in the order of their index, `known` ones not proved again. Incomplete once stop is
/// requested or what was found can't be kept: what is there is right.
std::vector<Spot> survey_spots(const SurveyGrid& grid, const SpotJudge& judge, std::vector<Spot> known,
                               const SurveyRun& run);

/// Place in `spots` of the passing spot with the greatest score, ties to the lowest index. Nothing if none passes.
std::optional<std::size_t> best_spot(const std::vector<Spot>& spots);

/// All passing spots that score as that one does, in order.
std::vector<std::size_t> best_spots(const std::vector<Spot>& spots);

/// Passing spots that no other beats in both cycle time and score, the fastest first: places in `spots`.
std::vector<std::size_t> pareto_front(const std::vector<Spot>& spots);

}  // namespace cellproof
