// SPDX-License-Identifier: GPL-3.0-or-later
// How much a design has in hand, as one figure.
#pragma once

#include <optional>

#include "checks/measures.hpp"

namespace cellproof {

/// The least of what was measured over what its rule asks: clearances (their proven lower bounds) and margins to joint
/// limits. Rules of 0 are left out; nothing if no rule asks anything.
std::optional<double> score_of(const Evidence& evidence);

}  // namespace cellproof
