// SPDX-License-Identifier: GPL-3.0-or-later
// What would mend a fixture that holds too little, tried out by measuring again.
#pragma once

#include <string>

#include "checks/hold_measure.hpp"

namespace cellproof {

/// Ways in one sentence, each found by search: more force, a lighter cut, a rest elsewhere. What no force up to 1e6 N
/// does is said not to help.
std::string hold_mend(const Cell& cell, const Hold& hold, const HoldMeasure& measure);

}  // namespace cellproof
