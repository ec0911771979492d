// SPDX-License-Identifier: GPL-3.0-or-later
// The lines about which something flat can tip: the edges of the hull of points and disks.
#pragma once

#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

/// A disk in the plane; a point has radius 0.
struct Disk {
  Vector2d centre = Vector2d::Zero();
  double radius = 0;
};

/// A line along the hull's border: `outward` is a unit vector, points x of the hull have outward · x <= offset.
struct TippingLine {
  Vector2d outward = Vector2d::UnitX();
  double offset = 0;
  /// How far inward of the line (mm); negative outside.
  double inward(const Vector2d& point) const { return offset - outward.dot(point); }
};

/// Every straight edge of the hull; where a disk rounds it, a tangent at every degree (a factor that varies along the
/// round is found within 1 in 20,000). Points all on one line give its two sides and ends.
std::vector<TippingLine> tipping_lines(const std::vector<Disk>& disks);

/// The least distance inward over all lines: negative for a point outside the hull.
double least_inward(const std::vector<TippingLine>& lines, const Vector2d& point);

}  // namespace cellproof
