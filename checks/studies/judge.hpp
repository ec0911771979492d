// SPDX-License-Identifier: GPL-3.0-or-later
// The whole cycle proved with things standing elsewhere, cheapest question first.
#pragma once

#include <memory>
#include <stop_token>

#include "checks/studies/spot.hpp"
#include "checks/studies/survey_grid.hpp"

namespace cellproof {

/// Proves the cycle of `scene` with the grid's movers placed, on one thread, as `prove` would: the same choice of joint
/// solutions and grasp turns, the same rules. First whether the arm reaches, then run by run what comes close, then
/// what must be held and carried, and what the camera sees of its targets. What fails ends it: what comes after is not
/// asked. Pairs whose motion is the same for several placements are measured once.
SpotJudge judge_of(std::shared_ptr<const Scene> scene, const SurveyGrid& grid, std::stop_token stop);

}  // namespace cellproof
