// SPDX-License-Identifier: GPL-3.0-or-later
// The whole cycle proved with things standing elsewhere, cheapest question first.
#pragma once

#include <memory>
#include <stop_token>

#include "checks/studies/spot.hpp"
#include "checks/studies/survey_grid.hpp"

namespace cellproof {

/// Proves the cycle of `scene` with the grid's movers placed, on one thread: first how the arm moves, then what must be
/// held and carried, what comes close, what the camera sees of its targets. A question that fails ends it; what comes
/// after is not asked. Pairs whose motion is the same for several placements are measured once.
SpotJudge judge_of(std::shared_ptr<const Scene> scene, const SurveyGrid& grid, std::stop_token stop);

}  // namespace cellproof
