// SPDX-License-Identifier: GPL-3.0-or-later
// Which bodies stand about what is worth seeing.
#pragma once

#include <string>
#include <vector>

#include "checks/prove.hpp"

namespace cellproof {

/// Names of the surroundings that stand about a place where the tool goes, or about the middle of another of the
/// surroundings: in four or more of the six directions along its own axes that place looks at the body's inside, and
/// the body is at least `least_enclosure_mm` across, so that a chuck or a vise is none.
std::vector<std::string> enclosures_of(const Scene& scene, const Cycle& cycle);

inline constexpr double least_enclosure_mm = 300;

}  // namespace cellproof
