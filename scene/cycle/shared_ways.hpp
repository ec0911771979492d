// SPDX-License-Identifier: GPL-3.0-or-later
// One way to stand for all seats: in each step of the cycle the same shoulder, elbow and wrist.
#pragma once

#include <optional>
#include <vector>

#include "scene/cycle/cycle_choice.hpp"

namespace cellproof {

/// A choice for each request, all standing in the same way at each target: the best of the first request that the
/// others can take too. What stops one of them is barred for all before the next try, so that the search ends; it may
/// pass over a way that only a longer search would find. None if there is none. The requests are of one cycle's runs;
/// their own `ways` are not looked at. The same on any number of threads.
std::optional<std::vector<CycleChoice>> choose_alike(const std::vector<ChoiceRequest>& requests, int threads);

}  // namespace cellproof
