// SPDX-License-Identifier: GPL-3.0-or-later
// What is under the pointer, the ruler between two picked points, and from where a place can be seen.
#pragma once

#include <functional>
#include <optional>

#include "window/desk/lengths.hpp"
#include "window/desk/moment.hpp"

namespace cellproof {

/// A point on a body, kept in the body's own frame, so that it rides along.
struct PickedPoint {
  int body = -1;  ///< into the scene's bodies
  Vector3d in_body = Vector3d::Zero();
  bool on_corner = false;  ///< snapped to a vertex of the mesh
};

/// A look into the world along a line; the direction need not be of unit length.
struct LookLine {
  Vector3d eye = Vector3d::Zero(), direction = Vector3d::UnitY();
};

using Wanted = std::function<bool(int body)>;  ///< bodies that can be picked; all that are drawn

/// The first wanted body on the line. The point goes to the nearest vertex of that body's mesh where one is within
/// `snap_mm` of it.
std::optional<PickedPoint> pick(const Scene& scene, const Instant& at, const LookLine& line, const Wanted& wanted,
                                double snap_mm);

Vector3d in_world(const Scene& scene, const Instant& at, const PickedPoint& point);

/// Two points and what lies between them.
struct Ruler {
  std::optional<PickedPoint> from, to;
};

/// A ruler with both ends begins anew with the point, else it takes it as its next end.
Ruler with_point(const Ruler& ruler, const PickedPoint& point);

/// "123.40 mm (x 100.00, y 50.00, z 20.00)": the distance and its parts along world's axes; empty without both ends.
std::string ruler_text(const Scene& scene, const Instant& at, const Ruler& ruler, LengthUnit unit);

/// Bodies on the way from an eye to a point, but for the last `short_of_mm` of it.
std::vector<int> bodies_before(const Scene& scene, const Instant& at, const Vector3d& eye, const Vector3d& point,
                               const Wanted& wanted, double short_of_mm);

/// A direction to look along (unit, world) from which as few bodies as can be stand before the point at
/// `distance_mm`; among equals the one nearest to `preferred`. It looks from the sides and from above, never from
/// below.
Vector3d clearest_direction(const Scene& scene, const Instant& at, const Vector3d& point, const Vector3d& preferred,
                            double distance_mm, const Wanted& wanted);

}  // namespace cellproof
