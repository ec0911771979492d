// SPDX-License-Identifier: GPL-3.0-or-later
// Shapes to triangles within a stated deviation.
#pragma once

#include <string>

#include <TopoDS_Shape.hxx>
#include <tl/expected.hpp>

#include "scene/mesh/mesh.hpp"

namespace cellproof::cad {

/// Closed where the shape is; each solid welded by itself. The mesh's deviation is measured at seven points a triangle,
/// with a quarter on top, and never more than `deviation_mm`; plane faces have none. Exact figures of closed solids by
/// integrals over their surfaces. Error: a sentence's end, to follow the file's name.
tl::expected<Mesh, std::string> tessellate(const TopoDS_Shape& shape, double deviation_mm);

}  // namespace cellproof::cad
