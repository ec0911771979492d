// SPDX-License-Identifier: GPL-3.0-or-later
// How a step can be told to go another way, by the keys that it takes.
#pragma once

#include <string>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// "use another solution (`near`)", "come from another side (`approach`) …": what to change of a step so that the arm
/// stands or moves otherwise in it. `step` counts the cycle's.
std::string other_way(const Cell& cell, StepId step);

}  // namespace cellproof
