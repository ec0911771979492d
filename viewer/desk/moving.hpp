// SPDX-License-Identifier: GPL-3.0-or-later
// A pallet or the arm's base stands elsewhere: a new cell to be proved, and what to write into the file.
#pragma once

#include <string>
#include <vector>

#include "scene/placement.hpp"
#include "viewer/desk/lengths.hpp"
#include "viewer/desk/picking.hpp"

namespace cellproof {

/// What can be moved: "base" for the arm, then every body that does not ride on the arm or on a part.
std::vector<std::string> movers_of(const Scene& scene);

/// What is moved when a body is dragged: itself or what it stands on, whichever stands on the world; "base" for the
/// arm; empty for a part.
std::string mover_under(const Scene& scene, BodyId body);

/// The cell with `mover` placed so. Everything else stays as it is, the cell given is not touched.
Cell moved(const Cell& cell, const std::string& mover, const Placement& placement);

/// How far a point that was under one line is drawn to come under another, within the plane through it; none where a
/// line runs along the plane.
std::optional<Vector3d> dragged(const LookLine& from, const LookLine& to, const Vector3d& point,
                                const Vector3d& plane_normal);

/// "at = { xyz = [627, -80, 0], turn = [0, 0, 90] }": the line to write, in mm and degrees; for the arm `base = …`.
std::string line_to_write(const Cell& cell, const std::string& mover, const Placement& placement);

}  // namespace cellproof
