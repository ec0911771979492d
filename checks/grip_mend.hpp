// SPDX-License-Identifier: GPL-3.0-or-later
// What would mend a grip or a hold that is too weak, in figures.
#pragma once

#include <string>
#include <vector>

#include "checks/grip_measure.hpp"

namespace cellproof {

/// "set circle = 19.1 in place of 16 (230 mm^2 more) …, or vacuum = 85 kPa" for `times` the force; "" for no zones.
std::string stronger_suction(const Cell& cell, const std::vector<std::string>& zones, double times);

/// The step's speeds at a share of those it runs at now, as keys of the cell file.
std::string slower_step(const Scene& scene, const Stretch& stretch, double slowness);

/// Rounded to `digits` after the first, up or down, so that what is printed still does.
double rounded_up(double value, int digits = 3);
double rounded_down(double value, int digits = 3);

}  // namespace cellproof
