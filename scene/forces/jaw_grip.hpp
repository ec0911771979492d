// SPDX-License-Identifier: GPL-3.0-or-later
// What a jaw holds against a load.
#pragma once

#include "scene/cell/cell.hpp"
#include "scene/forces/grip_factors.hpp"
#include "scene/forces/part_load.hpp"

namespace cellproof {

/// Load in the jaw's frame (two pads close along x; three stand evenly around z), all of it growing together. pull: the
/// load across the pads that would part one of them, for jaws that close together: each then carries force ± its share.
/// slip: friction against the load in the pad planes, yz for two pads, z for three; of two pads each takes half, which
/// asks for no lever between them, and the one that is pressed less must hold it. Where `pad` gives their size (w along
/// y, h along z), slip has the moment about x too, and peel is the moments about y and z: each pad's pressure stands
/// aside by half of them over its force, and must stand within the pad; friction is asked of the part of the pad about
/// that place, evenly pressed (as G. G. Meyerhof did for footings, Proc. 3rd Int. Conf. Soil Mech. 1:440-445, 1953).
/// Without `pad` of turning and peel nothing is known.
GripFactors grip_factors(const Jaw& jaw, const Load& load);

/// The moment (N mm) that turns the part in its jaws about the line through two pads (x), or about z for three.
double moment_in_pads(const Jaw& jaw, const Load& load);

}  // namespace cellproof
