// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/survey_result.hpp"

#include "checks/studies/slack.hpp"

namespace cellproof {

SurveyResult sum_up(const std::string& survey, const SurveyGrid& grid, std::vector<Spot> spots, const SpotJudge& judge,
                    const SurveyRun& run) {
  SurveyResult result{survey, grid, std::move(spots)};
  result.best = best_spot(result.spots);
  result.front = pareto_front(result.spots);
  if (result.best) result.slack_mm = slack_about(grid, result.spots, *result.best, judge, run);
  return result;
}

}  // namespace cellproof
