// SPDX-License-Identifier: GPL-3.0-or-later
// The simple solids that larger ones are put together from, each in its own frame.
#pragma once

#include <array>
#include <cstddef>
#include <variant>
#include <vector>

#include <TopoDS_Shape.hxx>

#include "cad/outline.hpp"
#include "kinematics/types.hpp"

namespace cellproof::cad {

struct BoxPiece {
  Vector3d size;  ///< centred
};
/// Centred, about z; equal radii make a cylinder.
struct ConePiece {
  double radius = 0, top_radius = 0, height = 0;
};
struct SpherePiece {
  double radius = 0;
};
/// About z.
struct TorusPiece {
  double radius = 0, tube = 0;
};
/// An outline in x and y with holes, from z = from to z = to.
struct ExtrudedPiece {
  Outline outline;
  std::vector<Outline> holes;
  double from = 0, to = 0;
};
/// An outline in radius and z, turned about z.
struct TurnedPiece {
  Outline outline;
};
/// Plane faces, each a loop of points counter-clockwise from outside.
struct PolyhedronPiece {
  std::vector<Vector3d> points;
  std::vector<std::vector<std::size_t>> faces;
};

using Piece = std::variant<BoxPiece, ConePiece, SpherePiece, TorusPiece, ExtrudedPiece, TurnedPiece, PolyhedronPiece>;

/// Throws std::invalid_argument or Standard_Failure where there is no such solid.
TopoDS_Shape solid_of(const Piece& piece);
TopoDS_Shape placed(const TopoDS_Shape& shape, const Pose& pose);

}  // namespace cellproof::cad
