// SPDX-License-Identifier: GPL-3.0-or-later
// Whether gravity is balanced by contacts that can only press, and how far the centre of mass stands from where it
// would not be.
#pragma once

#include <span>

#include "scene/forces/pressing_contacts.hpp"

namespace cellproof {

struct Balance {
  bool possible = false;  ///< some centre of mass could be balanced
  /// How far the centre of mass stands within the places where it is balanced (mm, seen from above); below 0: how far
  /// it is past their edge. Found from within, to 0.01 mm, and without friction to what is let pass (see below): 0.2 mm
  /// for each 100 mm that it stands above its contacts. NaN if not `possible`.
  double inside_mm = std::numeric_limits<double>::quiet_NaN();
  Vector2d edge_way = Vector2d::Zero();  ///< unit: the way out over the nearest edge
};

/// Points and `centre` in a frame whose z points up, mm. `friction`: 0 or a coefficient; its cone is taken as eight
/// edges on it, an inscribed pyramid. Without friction two thousandths of the weight may stay unbalanced sideways:
/// faces in a file are never quite level.
/// The places are found from within, direction by direction, each by a linear programme over the contacts' forces
/// (T. Bretl, S. Lall, IEEE Trans. Robotics 24(4):794-807, 2008).
Balance balance(std::span<const PressingPoint> points, const Vector3d& centre, double friction);

}  // namespace cellproof
