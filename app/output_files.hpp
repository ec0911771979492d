// SPDX-License-Identifier: GPL-3.0-or-later
// Outputs that would take the place of what was read.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// An option and the file that it names; empty or "-" if none.
using Output = std::pair<std::string, std::string>;

/// What is wrong with writing these, as a sentence: one is the cell file, a model that the cell uses, or another of
/// them. Empty if nothing is.
std::string trouble_with_outputs(const Cell& cell, const std::vector<Output>& outputs);

}  // namespace cellproof
