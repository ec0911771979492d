// SPDX-License-Identifier: GPL-3.0-or-later
// What a suction zone pulls with, and how long its vacuum takes.
#pragma once

#include "scene/cell/cell.hpp"

namespace cellproof {

/// Vacuum times area (N). The file's reader holds the vacuum to what ambient gives; a zone whose holes leave no area
/// pulls with nothing.
double suction_force(const Suction& zone);

/// (V/S) ln(p_a/p_b) in s, ideal: from ambient `ambient_pa` to the zone's vacuum below it. 0 without volume and flow.
double evacuation_time(const Suction& zone, double ambient_pa);

/// The longest of the named zones' times at the cell's altitude, and of their supplies' where it is known and ends.
double evacuation_time(const Cell& cell, const std::vector<std::string>& zones);

}  // namespace cellproof
