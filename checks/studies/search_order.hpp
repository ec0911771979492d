// SPDX-License-Identifier: GPL-3.0-or-later
// In which order the spots of a survey are proved.
#pragma once

#include <map>
#include <vector>

#include "checks/studies/survey.hpp"

namespace cellproof {

using KnownSpots = std::map<std::size_t, SpotVerdict>;

/// The next of the slice's spots in their order, at most `most`, that come after `after` (none yet: nothing).
std::vector<std::size_t> next_in_order(const SurveyGrid& grid, const Slice& slice, std::optional<std::size_t> after,
                                       std::size_t most);

/// Coarse to fine: first every so many-th place of each axis, so wide that half the budget covers them, then the
/// neighbours of the best spots so far at half that distance, and so on down to the grid's own. At most `most`; depends
/// on what is known only.
std::vector<std::size_t> next_refining(const SurveyGrid& grid, const KnownSpots& known, std::size_t budget,
                                       std::size_t most);

}  // namespace cellproof
