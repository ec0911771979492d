// SPDX-License-Identifier: GPL-3.0-or-later
// How much a design has in hand, rule by rule.
#pragma once

#include <optional>
#include <vector>

#include "checks/measures.hpp"
#include "checks/studies/spot.hpp"

namespace cellproof {

/// What was measured over what each rule asks, the least over the cycle: margins to joint limits, grips, what `payload`
/// allows over what hangs on the wrist, fixtures, and the ten pairs of bodies that are narrowest by their rule. Rules
/// of 0 ask nothing and are left out. Measures closer what it tells of pairs; not to be used once stop is requested.
std::vector<RuleShare> shares_of(const Scene& scene, const Cycle& cycle, const Run& run, Measures& measures);

/// The least share of what is measured so far, also of what fails; nothing if no rule asks anything. Of pairs that
/// pass it is no more than proven to be 1.
std::optional<double> least_share(const Evidence& evidence);

/// The lesser of two, where there are two.
std::optional<double> lesser(const std::optional<double>& a, const std::optional<double>& b);

}  // namespace cellproof
