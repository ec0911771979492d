// SPDX-License-Identifier: GPL-3.0-or-later
// The spots of a survey on one scale.
#pragma once

#include <vector>

#include "checks/studies/spot.hpp"

namespace cellproof {

/// The spots with their scores: of one that passes, the least of its shares. A rule that comes to the same at every
/// spot that passes, as far as it is known, tells no spot from another and is left out; if all do, each spot scores the
/// same. Spots that fail, and those without shares, keep the score that they have.
std::vector<Spot> with_scores(std::vector<Spot> spots);

/// Whether two scores are one, rounding aside.
bool equal_scores(const SpotVerdict& a, const SpotVerdict& b);

}  // namespace cellproof
