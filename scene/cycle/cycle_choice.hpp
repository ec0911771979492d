// SPDX-License-Identifier: GPL-3.0-or-later
// The solutions and grasp turns of a run chosen for the cycle as a whole: a ladder with a layer for each target.
#pragma once

#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

#include "scene/cycle/asked_ways.hpp"
#include "scene/cycle/line_legs.hpp"

namespace cellproof {

/// Why a stretch may not be run, empty if it may. Called with stretches that begin at time 0.
using StretchJudge = std::function<std::optional<std::string>(const Stretch&)>;

/// A leg with the way it is run, none where the arm stands.
struct ChosenLeg {
  Leg leg;
  std::optional<Way> way;
};

struct CycleChoice {
  bool whole = false;           ///< all legs are chosen, and none is unfit
  std::vector<ChosenLeg> legs;  ///< in running order: all, or those before the target that nothing leads to
  std::vector<Leg> stuck_at;    ///< the target that nothing leads to, with the lines that follow it; empty if none
  Arrangement at_end;           ///< after the last leg, if all are chosen
  std::vector<BlockedChoice> blocked;       ///< what was tried and can't be, unless whole
  std::vector<std::string> configurations;  ///< how the arm stands at each target that is chosen
  std::optional<std::size_t> stuck_layer;   ///< the number of the target that nothing leads to
  bool stuck_in_itself = false;             ///< wherever the arm comes from
};

/// What to choose for.
struct ChoiceRequest {
  const Scene& scene;
  RunSetup setup;                ///< turns of picks left out: they are chosen
  std::vector<Joints> standing;  ///< where joints are free (a continuum), more values (rad) to try them at
  StretchJudge judge;            ///< may be empty: every stretch may be run
  std::size_t most_judged = 0;   ///< stretches, then the search ends
  std::stop_token stop;
  AskedWays ways;  ///< any, unless it says otherwise
};

/// Of all choices in which every line can be run, limits are kept and no stretch is judged unfit, the one with the
/// first grasp turns, then the solutions nearest to the `near` of its targets, then the shortest time. Stretches are
/// judged only where the best choice left asks for it, and not twice where only whole turns differ. Where every choice
/// has an unfit stretch, the one that comes furthest: its first unfit stretch is as late as can be, then its second.
CycleChoice choose_for_cycle(const ChoiceRequest& request);

}  // namespace cellproof
