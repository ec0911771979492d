// SPDX-License-Identifier: GPL-3.0-or-later
// Whether an outline is one that encloses an area.
#pragma once

#include "scene/cell/cell.hpp"

namespace cellproof {

/// True for three or more corners whose edges meet only where neighbours share a corner, and that enclose an area.
/// Compares every edge with every other.
bool is_simple_polygon(const Outline& corners);

/// True if an edge of one polygon meets an edge of the other.
bool polygons_meet(const Outline& a, const Outline& b);

}  // namespace cellproof
