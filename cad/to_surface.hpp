// SPDX-License-Identifier: GPL-3.0-or-later
// The way from a point near a surface to the surface.
#pragma once

#include <vector>

#include <GeomAdaptor_Surface.hxx>
#include <Geom_Surface.hxx>
#include <gp_XY.hxx>
#include <gp_XYZ.hxx>

namespace cellproof::cad {

/// From `at` to the nearest point of cylinder, cone, sphere or torus, by their formulas; `adaptor` is of such a kind.
gp_XYZ to_elementary(const GeomAdaptor_Surface& adaptor, const gp_XYZ& at);
bool is_elementary(const GeomAdaptor_Surface& adaptor);

/// From `at` to a near point of any surface, by Newton's steps from each start: never too short.
gp_XYZ to_any(const Geom_Surface& surface, const gp_XYZ& at, const std::vector<gp_XY>& starts);

}  // namespace cellproof::cad
