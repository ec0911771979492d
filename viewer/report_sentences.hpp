// SPDX-License-Identifier: GPL-3.0-or-later
// The report in sentences, as the text and the page both say it.
#pragma once

#include <string>
#include <vector>

#include "checks/prove.hpp"
#include "viewer/seat_results.hpp"

namespace cellproof {

/// The step with the least gap of all; none where nothing is asked.
const StepFigure* tightest_step(const Report& report);

/// The verdict; where it passes the least gap; what was checked.
std::vector<std::string> verdict_sentences(const Proof& proof, const std::vector<SeatResult>& seats);

/// What a camera saw at a look: the camera and the step, each target, each blocker.
struct ViewSentences {
  std::string head;
  std::vector<std::string> targets, blockers;
};
ViewSentences view_sentences(const Scene& scene, const ViewFigure& figure);

/// Of each part in each tool the carry, of all runs, over which it is held least.
std::vector<std::string> grip_sentences(const Report& report);
/// Of each hold and part the place, of all runs, where it is held least.
std::vector<std::string> hold_sentences(const Report& report);

/// Of each part and step, or the start, the place of all runs where its centre stands nearest to the edge.
std::vector<std::string> release_sentences(const Report& report);

/// Of each supply of vacuum what it reaches and when, how long it keeps a part after a loss, and what that takes.
std::vector<std::string> supply_sentences(const Report& report);

/// The heaviest load that the flange carries with each axis's greatest moment and inertia of all steps, where masses
/// are known; the joints' greatest torques, where all links have a mass.
std::vector<std::string> wrist_sentences(const Report& report);

/// From when on the arm stands in which configuration, at the end of moves, where it has names.
std::vector<std::string> configuration_sentences(const Report& report, const std::string& run,
                                                 const std::string& others);

/// "cup / board", and where it comes closest.
std::string closest_words(const ClosestFigure& pair);

/// The least gap of a step to what stands about the arm: "12.3", "touch", or "-" where nothing is asked.
std::string gap_words(const StepFigure& step);
/// The same among arm, end effector and part in hand, steady pairs left out.
std::string own_gap_words(const StepFigure& step);
/// "adapter / forearm", and what is asked where it fails.
std::string steady_words(const SteadyFigure& pair);
/// Room to the nearest joint limit, deg: "24.6".
std::string room_words(const StepFigure& step);
/// Whether a step's row has a finding that fails; a view is judged in a row of its own.
bool fails_in(const Report& report, const StepFigure& step);

}  // namespace cellproof
