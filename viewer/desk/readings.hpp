// SPDX-License-Identifier: GPL-3.0-or-later
// Figures of the shown instant: the gap, the speeds, and each joint between its limits.
#pragma once

#include "viewer/desk/lengths.hpp"
#include "viewer/pictures/image.hpp"
#include "viewer/pictures/moment.hpp"

namespace cellproof {

struct ReadingsContent {
  const Scene& scene;
  const Moment& moment;
  const std::optional<ClearanceFigure>& gap;  ///< none where nothing is checked
  bool gap_is_new = true;                     ///< false while it is of an instant before
  double rule_mm = 0;                         ///< that the gap's pair owes
  LengthUnit unit = LengthUnit::mm;
};

Image draw_readings(const ReadingsContent& content, int width, int height);

}  // namespace cellproof
