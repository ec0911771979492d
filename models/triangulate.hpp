// SPDX-License-Identifier: GPL-3.0-or-later
// Triangles over a polygon with holes.
#pragma once

#include "models/solid_shapes.hpp"

namespace cellproof::models {

/// The flat region between an outline and holes in it. Points are numbered through the outline, then hole by hole.
/// Returns triangles counter-clockwise. Outline and holes are counter-clockwise. Holes are first joined to the outline
/// by bridges, then ears are cut, the shortest diagonal first (the method of G. Meisters, 1975).
/// Throws std::logic_error if the outline crosses itself or a hole.
std::vector<std::array<std::uint32_t, 3>> triangulate(const Outline& outline, const std::vector<Outline>& holes);

}  // namespace cellproof::models
