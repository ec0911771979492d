// SPDX-License-Identifier: GPL-3.0-or-later
// The values that a range of a survey stands for.
#pragma once

#include <vector>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// from, from + step … and `to` itself, whether or not the step divides the range.
std::vector<double> values_of(const Range& range);

/// How many those are, without making them.
double count_of(const Range& range);

}  // namespace cellproof
