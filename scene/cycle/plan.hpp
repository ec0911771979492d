// SPDX-License-Identifier: GPL-3.0-or-later
// From the cell's steps to the timed cycle: which solution each target takes, every line run, every time known.
#pragma once

#include <optional>
#include <stop_token>
#include <vector>

#include "scene/cycle/cycle.hpp"
#include "scene/cycle/cycle_choice.hpp"

namespace cellproof {

/// Every run of the cycle. A pose target takes, among the solutions within limits (whole turns included) whose
/// following lines can be run, the one with the shortest joint move, ties by lowest joint values in order; with `near`,
/// the one whose greatest joint difference from it is least; grasps take their first turn. Where that leads nowhere
/// later on, solutions and turns are chosen for the run as a whole. With `same_configuration` they are chosen so that
/// the arm stands in one way at all seats, if that can be: `ways_at_seats` tells. Asks for cell.cycle.
Cycle plan_cycle(const Scene& scene, const std::stop_token& stop = {});

/// One of its runs alone.
CycleRun plan_run(const Scene& scene, std::size_t number, const std::stop_token& stop = {});

/// A run planned anew so that no stretch is judged unfit, or, where no choice does that, the one that comes furthest
/// and in `blocked` why none serves. No run if it would end earlier than the plan before.
struct PlannedAnew {
  std::optional<CycleRun> run;
  std::vector<BlockedChoice> blocked;
};

/// The number counts the runs of plan_cycle, whose own plan of it is `before`; where it can't be run to its end, what
/// comes before that is planned anew.
PlannedAnew plan_run_anew(const Scene& scene, std::size_t number, const CycleRun& before, const StretchJudge& judge,
                          const std::stop_token& stop = {});

/// All runs planned anew so, the arm standing in one way at all seats. None if there is no such choice. The judge is
/// called from several threads.
std::optional<std::vector<CycleRun>> plan_alike_anew(const Scene& scene, const Cycle& before, const StretchJudge& judge,
                                                     int threads, const std::stop_token& stop = {});

}  // namespace cellproof
