// SPDX-License-Identifier: GPL-3.0-or-later
// All that a cutter may push a part with, as corners that bound it.
#pragma once

#include <array>
#include <vector>

#include "scene/forces/contact_forces.hpp"

namespace cellproof {

/// A cut in the seat's frame: forces in N, mm.
struct CutRange {
  double side = 0;             ///< any way along the seat's xy
  double lift = 0;             ///< the greatest pull along +z
  double thrust = 0;           ///< the greatest push along -z
  double height = 0;           ///< where it acts above the seat plane
  std::vector<Vector2d> over;  ///< and where along it: anywhere within their hull; one place at least
};

struct CutLoad {
  Wrench wrench = Wrench::Zero();
  Vector2d place = Vector2d::Zero();
  double towards = 0;  ///< of the side force, rad from the seat's x
  double axial = 0;    ///< N along +z
};

/// All loads of a cut at one place lie in the hull of the corners.
struct LoadBody {
  std::vector<CutLoad> corners;
  std::vector<std::array<std::size_t, 2>> edges;
};

/// At one place. The side force's circle lies within a polygon of 32 sides (0.5 % too great at its corners).
LoadBody loads_at(const CutRange& cut, const Vector2d& place);

/// The loads of one place beside those of another, with an edge from each to its like: what a load becomes on the way.
LoadBody loads_between(const CutRange& cut, const Vector2d& from, const Vector2d& to);

/// The corners of `over`, drawn outward to 16 at the most: all loads lie in the hull of the loads there.
std::vector<Vector2d> corner_places(const CutRange& cut);

/// Places along the outline's border, corners among them, no further apart than a 24th of its longest side; the corners
/// alone where the cut has no axial force.
std::vector<Vector2d> border_places(const CutRange& cut);

}  // namespace cellproof
