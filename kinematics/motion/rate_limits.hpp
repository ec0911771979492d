// SPDX-License-Identifier: GPL-3.0-or-later
// Limits on how fast a piece of a path may be run, and the greatest rates that they leave.
#pragma once

#include <vector>

namespace cellproof {

/// from·p + to·q <= 1, with p and q the squared rates at the two ends of a piece over which the squared rate runs
/// evenly (so that the acceleration is constant). Both are shares, 0 to 1, of the greatest that the tool allows.
/// Standing still is always allowed.
struct RateLimit {
  double from = 0, to = 0;
};

/// The greatest p for which some q in [0, most_to] keeps all limits. A linear program in two unknowns, by adding one
/// limit after the other (R. Seidel, Discrete & Computational Geometry 6, 1991, without the shuffle).
double greatest_from(const std::vector<RateLimit>& limits, double most_to);

/// The greatest q in [0, most_to] that keeps all limits for a given p.
double greatest_to(const std::vector<RateLimit>& limits, double from, double most_to);

}  // namespace cellproof
