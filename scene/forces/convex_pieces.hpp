// SPDX-License-Identifier: GPL-3.0-or-later
// Convex outlines in a plane: what two have in common, and the area of many together, each place counted once.
#pragma once

#include <vector>

#include "kinematics/types.hpp"
#include "scene/cell/cell.hpp"

namespace cellproof {

/// Smaller pieces are rounding.
inline constexpr double least_area_mm2 = 1e-9;

/// Of a counterclockwise outline (mm^2); 0 with fewer than three corners.
double area_of(const Outline& outline);

/// What of a convex outline has normal · x <= offset (I. Sutherland, G. Hodgman, 1974).
Outline side_of(const Outline& outline, const Vector2d& normal, double offset);

/// What two convex outlines, both counterclockwise, have in common.
Outline common_of(const Outline& a, const Outline& b);

/// Convex outlines one by one; of each only what lies outside all before counts.
class UnitedArea {
 public:
  void add(const Outline& convex);  ///< counterclockwise
  double area() const { return area_; }

 private:
  struct Kept {
    Outline outline;
    Vector2d low, high;
  };
  std::vector<Kept> kept_;
  double area_ = 0;
};

}  // namespace cellproof
