// SPDX-License-Identifier: GPL-3.0-or-later
// What comes inside a mesh with holes, which it can do without touching it.
#pragma once

#include <vector>

#include "checks/checked_pairs.hpp"
#include "scene/solids/containment.hpp"

namespace cellproof {

/// Some shell of `inner` lies inside `outer`, whose mesh is not closed.
struct InOpenMesh {
  BodyId outer, inner;
  bool freed = false;  ///< by a [[contact]]
  Within within = Within::outside;
  double time_s = 0;  ///< the first instant at which it lies as deep as it ever does
};

/// Of the pairs that are checked and those that a [[contact]] frees, looked at at both ends of each of their spans and
/// at 15 instants between: of those between two of them nothing is said.
std::vector<InOpenMesh> measure_in_open_meshes(const Scene& scene, const Stretch& stretch,
                                               const std::vector<PairAsked>& pairs);

}  // namespace cellproof
