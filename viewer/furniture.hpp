// SPDX-License-Identifier: GPL-3.0-or-later
// What stands around a drawing: caption, legend, scale bar, axes.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "viewer/canvas.hpp"

namespace cellproof {

struct LegendEntry {
  std::string words;
  Colour colour;
};

/// A strip along the bottom of the picture.
struct Strip {
  Area area;
  double size = 14;  ///< of the letters
};

/// Two lines at the strip's left end.
void draw_caption(Canvas& canvas, const Strip& strip, const std::string& title, const std::string& detail);

/// Squares of colour with words, at the strip's right end.
void draw_legend(Canvas& canvas, const Strip& strip, const std::vector<LegendEntry>& entries);

/// A round length (1, 2 or 5 times a power of ten) of at most `most` pixels.
double round_length(double mm_per_pixel, double most);

/// A bar of a round length, its left end at `start`, its words above.
void draw_scale_bar(Canvas& canvas, const Vector2d& start, double mm_per_pixel, double size);

/// The world's axes as they lie in the picture: unit directions in pixels, those towards the eye are dots.
void draw_axes(Canvas& canvas, const Vector2d& origin, const std::array<Vector2d, 3>& directions, double size);

}  // namespace cellproof
