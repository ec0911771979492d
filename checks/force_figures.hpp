// SPDX-License-Identifier: GPL-3.0-or-later
// The report's figures of grip, wrist and holds, before any verdict.
#pragma once

#include "checks/measures.hpp"
#include "checks/report.hpp"

namespace cellproof {

/// Fills grips, wrist, torques, holds and what the controller must do.
void add_force_figures(const Evidence& evidence, Report& report);

/// What of grip, wrist and holds can't be computed, and what is missing for it: a sentence each.
std::vector<std::string> forces_not_computed(const Evidence& evidence);

}  // namespace cellproof
