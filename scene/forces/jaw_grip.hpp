// SPDX-License-Identifier: GPL-3.0-or-later
// What a jaw holds against a load.
#pragma once

#include "scene/cell/cell.hpp"
#include "scene/forces/grip_factors.hpp"
#include "scene/forces/part_load.hpp"

namespace cellproof {

/// Load in the jaw's frame (two pads close along x; three stand evenly around z). slip = pads µ force / load in the pad
/// planes: yz for two pads, z for three. pull: the load across the pads that would part one of them, for jaws that
/// close together: each then carries force ± its share. Of peel nothing is known: the file gives no size of the pads.
GripFactors grip_factors(const Jaw& jaw, const Load& load);

/// The moment (N mm) that turns the part in its jaws about the line through two pads (x), or about z for three: the
/// file gives no size of the pads to hold it against.
double moment_in_pads(const Jaw& jaw, const Load& load);

}  // namespace cellproof
