// SPDX-License-Identifier: GPL-3.0-or-later
// What each run of the cycle is about.
#pragma once

#include "scene/cycle/legs.hpp"

namespace cellproof {

/// One setup for every seat of the slots and every entry of `others`, in the order of the cycle's runs; turns left
/// open.
std::vector<RunSetup> run_setups(const Cell& cell);

}  // namespace cellproof
