// SPDX-License-Identifier: GPL-3.0-or-later
// What would mend a grip or a hold that is too weak, in figures.
#pragma once

#include <string>
#include <vector>

#include "checks/grip_measure.hpp"

namespace cellproof {

/// More force than this (N) no grip has: what asks for it does not help.
inline constexpr double most_newton = 1e6;

/// "set circle = 19.1 in place of 16 (230 mm^2 more) …, or vacuum = 85 kPa" for `area_times` the area, none of which
/// helps if there is none or it makes a zone larger than a metre, or `times` the vacuum; "" for no zones.
std::string stronger_suction(const Cell& cell, const std::vector<std::string>& zones, std::optional<double> area_times,
                             double times);

/// So many times a jaw's force, if any has as much.
std::string stronger_jaw(const Jaw& jaw, double times);

/// The step's speeds at a share of those it runs at now, as keys of the cell file.
std::string slower_step(const Scene& scene, const Stretch& stretch, double slowness);

/// Rounded to `digits` after the first, up or down, so that what is printed still does.
double rounded_up(double value, int digits = 3);
double rounded_down(double value, int digits = 3);

}  // namespace cellproof
