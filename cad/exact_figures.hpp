// SPDX-License-Identifier: GPL-3.0-or-later
// Area, volume and inertia of solids by their surfaces.
#pragma once

#include <string>

#include <TopoDS_Shape.hxx>
#include <tl/expected.hpp>

#include "scene/mesh/mesh.hpp"

namespace cellproof::cad {

/// All solids of the shape together. `mesh` is its closed tessellation: the second route to the same volume. Error: a
/// sentence's end, where the two disagree by more than the mesh's deviation allows.
tl::expected<ExactFigures, std::string> exact_figures(const TopoDS_Shape& shape, const Mesh& mesh);

}  // namespace cellproof::cad
