// SPDX-License-Identifier: GPL-3.0-or-later
// What stands around a drawing: caption, legend, scale bar, axes.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "viewer/pictures/canvas.hpp"

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

/// How far right a caption's lines may go, in pixels.
struct CaptionRoom {
  double title = 0, detail = 0;
};

/// Two lines at the strip's left end, cut off where there is no room.
void draw_caption(Canvas& canvas, const Strip& strip, const std::string& title, const std::string& detail,
                  const CaptionRoom& room);

/// Squares of colour with words, at the strip's right end; says where they begin.
double draw_legend(Canvas& canvas, const Strip& strip, const std::vector<LegendEntry>& entries);

/// A round length (1, 2 or 5 times a power of ten) of at most `most` pixels.
double round_length(double mm_per_pixel, double most);

/// A bar of a round length, its right end at `end`, its words before it; says where those begin.
double draw_scale_bar(Canvas& canvas, const Vector2d& end, double mm_per_pixel, double size);

/// The world's axes as they lie in the picture: unit directions in pixels, those towards the eye are dots.
void draw_axes(Canvas& canvas, const Vector2d& origin, const std::array<Vector2d, 3>& directions, double size);

}  // namespace cellproof
