// SPDX-License-Identifier: GPL-3.0-or-later
// What a survey comes to.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "checks/studies/survey.hpp"

namespace cellproof {

struct SurveyResult {
  std::string survey;
  SurveyGrid grid;
  std::vector<Spot> spots;  ///< in the order of their index
  std::optional<std::size_t>
      best{};                        ///< place in `spots`: the greatest score, of equals the most slack, then the first
  std::optional<double> slack_mm{};  ///< about the best: see slack.hpp
  std::vector<std::size_t> front{};  ///< see pareto_front
};

/// Finds best, slack and front of spots that were proved. Not to be used once stop is requested.
SurveyResult sum_up(const std::string& survey, const SurveyGrid& grid, std::vector<Spot> spots, const SpotJudge& judge,
                    const SurveyRun& run);

}  // namespace cellproof
