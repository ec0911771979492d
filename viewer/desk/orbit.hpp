// SPDX-License-Identifier: GPL-3.0-or-later
// Where the window looks from: a point looked at, two angles and a distance. The world's z is up.
#pragma once

#include "scene/mesh/mesh.hpp"
#include "viewer/desk/picking.hpp"
#include "viewer/pictures/still.hpp"

namespace cellproof {

/// The view's angle from its lower to its upper rim.
inline constexpr double view_angle = pi / 4.5;

struct Orbit {
  Vector3d at = Vector3d::Zero();  ///< the point in the middle of the view (world, mm)
  double heading = 0;              ///< of the way the eye looks, about z from +x (rad)
  double dip = 0;                  ///< of the way the eye looks, downwards (rad), within ±90°
  double distance = 1000;          ///< of the eye from the point, mm

  Vector3d direction() const;  ///< the way it looks, unit
  Vector3d right() const;      ///< unit, level
  Vector3d up() const;
  Vector3d eye() const { return at - distance * direction(); }
  bool operator==(const Orbit&) const = default;
};

/// The pointer went so many pixels right and down, of a view so many pixels high.
struct PointerWay {
  double right = 0, down = 0, view_height = 1;
};

Orbit turned(Orbit orbit, const PointerWay& way);   ///< about the point; a view's height is half a turn
Orbit shifted(Orbit orbit, const PointerWay& way);  ///< the point stays under the pointer
Orbit zoomed(Orbit orbit, double clicks);           ///< towards the point with positive clicks of the wheel

/// The same direction, so far off that the box fills the view.
Orbit fitted(Orbit orbit, const Box& box, double width_over_height);
/// Looks from a side, at the same point.
Orbit from_side(Orbit orbit, Side side);
Orbit looking_along(Orbit orbit, const Vector3d& direction);

/// Size of the view in pixels.
struct ViewSize {
  double width = 1, height = 1;
};
/// The line of sight through a pixel, counted from the top left corner.
LookLine line_through(const Orbit& orbit, const Vector2d& pixel, const ViewSize& size);
/// How many mm a pixel is at the point's distance.
double mm_per_pixel(const Orbit& orbit, const ViewSize& size);

}  // namespace cellproof
