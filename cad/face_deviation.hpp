// SPDX-License-Identifier: GPL-3.0-or-later
// How far a shape's surfaces stray from their triangles.
#pragma once

#include <TopoDS_Shape.hxx>

#include "scene/mesh/mesh.hpp"

namespace cellproof::cad {

/// The most at seven points of each triangle of a meshed shape: its middle, the middles of its sides and three between.
/// Plus the tolerance within which the shape's faces meet.
Deviation deviation_of(const TopoDS_Shape& shape);

}  // namespace cellproof::cad
