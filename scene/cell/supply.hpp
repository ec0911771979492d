// SPDX-License-Identifier: GPL-3.0-or-later
// What a supply of vacuum means for the zones that name it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// The supply's source, hose and leak at an ambient pressure (Pa).
VacuumLine line_of(const Supply& supply, double ambient_pa);

/// Pa below ambient that the checks count on at the zones: the switch's, as the arm goes on once that is there; without
/// a switch 95 % of what is reached, as the rest takes for ever (for a flow that falls evenly 95 % is three time
/// constants: common practice). Never more than is reached.
double counted_vacuum(const Supply& supply, double ambient_pa);

/// Gives each zone with a supply the vacuum that the checks count on.
void take_vacuum_of_supplies(Cell& cell);

/// mm^3 that are drawn down each time: the supply's own volume, its hose, and all zones that name it. None where the
/// supply states no volume and not every zone does.
std::optional<double> drawn_volume(const Cell& cell, const Supply& supply);

/// mm^3 that keep the vacuum of some zones: the supply's own volume, its hose, and these zones alone. None as above.
std::optional<double> kept_volume(const Cell& cell, const Supply& supply, const std::vector<std::string>& zones);

/// s from ambient to the switch, without one to what the checks count on. Infinite where it never comes; none where the
/// volume is not known.
std::optional<double> evacuation_time(const Cell& cell, const Supply& supply);

/// What to set at the controller for such a time: half as much again, rounded up to a tenth of a second (common
/// practice).
double switch_timeout(double evacuation_s);

}  // namespace cellproof
