// SPDX-License-Identifier: GPL-3.0-or-later
// A plan to scale within an area of a picture: mm to pixels, and its numbered rims.
#pragma once

#include "viewer/pictures/canvas.hpp"

namespace cellproof {

/// A rectangle in mm.
struct MapExtent {
  Vector2d least = Vector2d::Zero(), most = Vector2d::Zero();

  void show(const Vector2d& point) {
    least = least.cwiseMin(point);
    most = most.cwiseMax(point);
  }
  Vector2d span() const { return (most - least).cwiseMax(Vector2d::Constant(1)); }
};

/// mm to pixels of one panel, y upwards.
struct PanelView {
  Area area;
  double mm_per_pixel = 1;
  Vector2d middle = Vector2d::Zero();  ///< mm

  Vector2d pixel(const Vector2d& mm) const {
    const Vector2d off = (mm - middle) / mm_per_pixel;
    return {area.left + area.width / 2 + off.x(), area.top + area.height / 2 - off.y()};
  }
};

/// A window of the plan in a panel, with room for the words above, the scale below and the numbers at the rims.
PanelView view_of(const MapExtent& window, const Area& panel, double letters);

/// Ticks with numbers along the lower and the left rim: mm from `zero`, a place of the plan.
void draw_rims(Canvas& canvas, const PanelView& view, const Vector2d& zero, double letters);

}  // namespace cellproof
