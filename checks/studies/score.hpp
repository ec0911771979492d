// SPDX-License-Identifier: GPL-3.0-or-later
// How much a design has in hand, as one figure.
#pragma once

#include <optional>

#include "checks/measures.hpp"

namespace cellproof {

// The score is the least of what was measured over what its rule asks. Rules of 0 are left out; nothing if no rule asks
// anything.

/// Of margins to joint limits.
std::optional<double> score_of_motion(const Evidence& evidence);

/// Of grips and fixtures (their factors) and of the wrist (what `payload` allows over what hangs on it).
std::optional<double> score_of_forces(const Evidence& evidence);

/// Of clearances (their proven lower bounds).
std::optional<double> score_of_gaps(const StretchMeasures& measures);

/// The lesser of two, where there are two.
std::optional<double> lesser(const std::optional<double>& a, const std::optional<double>& b);

}  // namespace cellproof
