// SPDX-License-Identifier: GPL-3.0-or-later
// Triangles as they fall from an eye onto a plane: corner by corner, without rounding to pixels or to single precision.
#pragma once

#include <array>
#include <span>
#include <vector>

#include "scene/scene.hpp"

namespace cellproof {

/// A rectangle in the frame of an eye at its origin, which need not be square: its points are
/// centre + u across + v down with u and v in [-0.5, 0.5].
struct Window {
  Vector3d across, down, centre;  ///< mm
  Vector3d point(double u, double v) const { return centre + u * across + v * down; }
};

/// True if the eye lies in the window's plane, as nearly as can be told.
bool edge_on(const Window& window);

/// What an eye looks at, and from where on.
struct SightThrough {
  Window window;
  double front = 0;   ///< nothing nearer along z than this (mm) blocks
  double within = 1;  ///< nothing further out than this blocks, in shares of the way to the window; may be infinity
};

/// A convex piece of a triangle's shadow: u, v, and the inverse of the share of the way to the window at which the
/// triangle stands, which is an affine function of u and v.
struct Shadow {
  BodyId body;
  std::size_t corners = 0;
  std::array<Vector3d, 5> corner;
};

/// A body as the eye meets it.
struct PlacedSolid {
  BodyId body;
  const Solid* solid = nullptr;
  Pose in_eye = Pose::Identity();
};

/// The shadows of everything that stands in the way to some point of the window. Of closed bodies that are wholly
/// ahead of the front only the side that faces the eye: it covers what the other does. None if the window is edge on.
std::vector<Shadow> shadows(std::span<const PlacedSolid> bodies, const SightThrough& sight);

/// Area of the shadow inside the window, in shares of it.
double area_in_window(const Shadow& shadow);

}  // namespace cellproof
