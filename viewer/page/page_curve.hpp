// SPDX-License-Identifier: GPL-3.0-or-later
// The gap along a run, drawn for the page.
#pragma once

#include <string>

#include "viewer/pictures/gap_plot.hpp"

namespace cellproof {

/// An SVG: between what no pair comes nearer than and what one comes as near as, the rule, the steps by number, and
/// what was found. Empty where nothing moves.
std::string curve_svg(const Timeline& timeline, const GapPlot& plot);

}  // namespace cellproof
