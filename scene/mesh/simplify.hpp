// SPDX-License-Identifier: GPL-3.0-or-later
// A mesh with fewer triangles, within a proven distance of the one given.
#pragma once

#include "scene/mesh/mesh.hpp"

namespace cellproof {

/// Takes vertices away, one at a time, as long as no point of either surface strays further than `most_mm` (positive)
/// from the other. What it strays is added to the deviation. Open edges stay as they are; a closed mesh stays closed.
///
/// Source of the bound: J. Cohen, D. Manocha, M. Olano, 1997 (successive mappings). Where a vertex is taken away, the
/// triangles about it before and after cover the same simple polygon of a plane, once each; the difference of their
/// heights over that plane is linear between the places where their edges cross, so that its greatest value there
/// bounds the distance both ways. Each triangle carries the sum of what was strayed beneath it.
Mesh simplify(const Mesh& mesh, double most_mm);

}  // namespace cellproof
