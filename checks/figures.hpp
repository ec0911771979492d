// SPDX-License-Identifier: GPL-3.0-or-later
// The report's figures, before any verdict.
#pragma once

#include "checks/measures.hpp"
#include "checks/report.hpp"

namespace cellproof {

/// Bodies, steps, views, standing cautions and what is not computed. No findings yet.
Report figures_of(const Evidence& evidence);

/// What fills the other seats, where that tells runs apart.
std::string others_told(const Cell& cell, const CycleRun& run);

}  // namespace cellproof
