// SPDX-License-Identifier: GPL-3.0-or-later
// How accurately the best spot has to be met.
#pragma once

#include <optional>

#include "checks/studies/survey.hpp"

namespace cellproof {

/// Radius (mm) of the largest disk about the best spot, in x and y of the first mover, in which placements pass, never
/// beyond the surveyed range; an axis that is not surveyed is left out. No grid spot that fails lies within, and
/// sixteen directions were proved at the radius itself, to a sixteenth of a step. Nothing if neither x nor y is
/// surveyed. Not to be used once stop is requested.
std::optional<double> slack_about(const SurveyGrid& grid, const std::vector<Spot>& spots, std::size_t best,
                                  const SpotJudge& judge, const SurveyRun& run);

/// What the slack about a spot can't exceed, from the spots that were proved: the way to the rim of what was surveyed
/// and to the nearest that fails. Nothing as above.
std::optional<double> most_slack_about(const SurveyGrid& grid, const std::vector<Spot>& spots, std::size_t spot);

}  // namespace cellproof
