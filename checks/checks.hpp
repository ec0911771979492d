// SPDX-License-Identifier: GPL-3.0-or-later
// The questions, one function and one file each: from the evidence to findings.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "checks/measures.hpp"

namespace cellproof {

std::vector<Finding> check_sizes(const Evidence& evidence);        ///< do the models fit the arm by their size?
std::vector<Finding> check_model(const Evidence& evidence);        ///< are the models what they seem?
std::vector<Finding> check_reach(const Evidence& evidence);        ///< does every pose and line reach?
std::vector<Finding> check_limits(const Evidence& evidence);       ///< are joint limits kept, with the asked margin?
std::vector<Finding> check_singularity(const Evidence& evidence);  ///< how near to singular poses?
std::vector<Finding> check_speed(const Evidence& evidence);        ///< do the joints keep up with the tool?
std::vector<Finding> check_clearance(const Evidence& evidence);    ///< does anything come too close?
std::vector<Finding> check_contact(const Evidence& evidence);      ///< does meant contact cut too deep?
std::vector<Finding> check_enclosed(const Evidence& evidence);     ///< does anything lie inside a mesh with holes?
std::vector<Finding> check_sightline(const Evidence& evidence);    ///< does the camera see what it looks at?
std::vector<Finding> check_grip(const Evidence& evidence);         ///< does the grip hold through the whole motion?
std::vector<Finding> check_wrist(const Evidence& evidence);        ///< does the wrist carry it?
std::vector<Finding> check_hold(const Evidence& evidence);         ///< does the fixture hold against the cut?
std::vector<Finding> check_supply(const Evidence& evidence);       ///< does the vacuum come, and stay long enough?
std::vector<Finding> check_release(const Evidence& evidence);      ///< does something hold what is let go?
std::vector<Finding> check_zones(const Evidence& evidence);        ///< is the zone empty where a step asks for it?
std::vector<Finding> check_sequence(const Evidence& evidence);  ///< is the part held all along, does the cycle return?
std::vector<Finding> check_ways(const Evidence& evidence);      ///< does the arm stand in one way at all seats?
std::vector<Finding> check_choices(const Evidence& evidence);   ///< where no choice of solutions serves: why each?

/// The questions in groups, cheapest first, by what has to be measured before they are asked.
using Question = std::vector<Finding> (*)(const Evidence&);
inline constexpr std::array<Question, 1> questions_of_sizes{check_sizes};   ///< the same at any placement
inline constexpr std::array<Question, 1> questions_of_models{check_model};  ///< cautions only
inline constexpr std::array<Question, 6> questions_of_motion{check_reach, check_limits,   check_singularity,
                                                             check_speed, check_sequence, check_ways};
inline constexpr std::array<Question, 5> questions_of_forces{check_grip, check_wrist, check_hold, check_release,
                                                             check_supply};
inline constexpr std::array<Question, 5> questions_of_gaps{check_clearance, check_contact, check_enclosed, check_zones,
                                                           check_choices};
inline constexpr std::array<Question, 1> questions_of_sight{check_sightline};

/// What the questions of a group find, in their order.
std::vector<Finding> asked(std::span<const Question> questions, const Evidence& evidence);

}  // namespace cellproof
