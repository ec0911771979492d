// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/studies/survey_result.hpp"

#include <algorithm>
#include <functional>

#include "checks/studies/slack.hpp"

namespace cellproof {

namespace {

/// So many spots of equal score are looked at for their slack: it takes a hundred proofs or so about each.
constexpr std::size_t most_compared = 12;

struct Candidate {
  std::size_t spot = 0;  ///< place in the result's spots
  double most_mm = 0;    ///< its slack is no more than that
};

/// Those that may have the most slack first, then by their order.
std::vector<Candidate> candidates(const SurveyGrid& grid, const std::vector<Spot>& spots) {
  std::vector<Candidate> all;
  for (const std::size_t spot : best_spots(spots))
    all.push_back({spot, most_slack_about(grid, spots, spot).value_or(0)});
  std::ranges::stable_sort(all, std::greater{}, &Candidate::most_mm);
  all.resize(std::min(all.size(), most_compared));
  return all;
}

}  // namespace

SurveyResult sum_up(const std::string& survey, const SurveyGrid& grid, std::vector<Spot> spots, const SpotJudge& judge,
                    const SurveyRun& run) {
  SurveyResult result{survey, grid, std::move(spots)};
  result.front = pareto_front(result.spots);
  for (const Candidate& candidate : candidates(grid, result.spots)) {
    if (result.best && candidate.most_mm <= result.slack_mm.value_or(0)) break;
    const auto slack = slack_about(grid, result.spots, candidate.spot, judge, run);
    if (result.best && !(slack.value_or(0) > result.slack_mm.value_or(0))) continue;
    result.best = candidate.spot;
    result.slack_mm = slack;
  }
  return result;
}

}  // namespace cellproof
