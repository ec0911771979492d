// SPDX-License-Identifier: GPL-3.0-or-later
// What is under the pointer, and the ruler between two picked points.
#pragma once

#include <optional>

#include "viewer/desk/lengths.hpp"
#include "viewer/pictures/clear_view.hpp"

namespace cellproof {

/// A point on a body, kept in the body's own frame, so that it rides along.
struct PickedPoint {
  BodyId body;
  Vector3d in_body = Vector3d::Zero();
  bool on_corner = false;  ///< snapped to a vertex of the mesh
};

/// The first wanted body on the line; wanted are those that are drawn. The point goes to the nearest vertex of that
/// body's mesh where one is within `snap_mm` of it.
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

}  // namespace cellproof
