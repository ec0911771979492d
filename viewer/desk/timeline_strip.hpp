// SPDX-License-Identifier: GPL-3.0-or-later
// The strip along the window's lower rim: steps, findings and the clearance over the cycle on one line of time.
#pragma once

#include <optional>

#include "viewer/desk/lengths.hpp"
#include "viewer/pictures/gap_plot.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

struct StripContent {
  const Timeline& timeline;
  const GapPlot& plot;
  double time_s = 0;
  std::optional<std::size_t> chosen;  ///< the finding that the window shows
  LengthUnit unit = LengthUnit::mm;
  std::string unproved;  ///< said in place of the clearance, as long as it is not known
};

Image draw_strip(const StripContent& content, int width, int height);

/// The strip in two layers: what stays while time passes within a step, and the line at the instant on it.
Image draw_strip_ground(const StripContent& content, int width, int height);
Image with_playhead(Image ground, const StripContent& content);

/// Where along the line a column of pixels lies, held within 0 … 1.
double share_of_column(double column, int width);

/// The finding whose sign is at a pixel, if there is one.
std::optional<std::size_t> finding_at_pixel(const Timeline& timeline, const Vector2d& pixel, int width);

}  // namespace cellproof
