// SPDX-License-Identifier: GPL-3.0-or-later
// Where names go on a picture: in columns beside the drawing with a leader to what they name, or within it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/scene.hpp"
#include "viewer/pictures/canvas.hpp"

namespace cellproof {

/// The place of a region that is furthest from its rim, and how far that is (pixels, by the lesser of x and y steps).
struct Heart {
  Vector2d at = Vector2d::Zero();
  double depth = 0;
  long pixels = 0;  ///< of the whole region
};

/// The heart of what each body has of the pixels, row by row; there are `count` bodies.
Table<BodyId, Heart> hearts(const std::vector<BodyId>& bodies, int width, std::size_t count);

/// A name with a leader to `anchor`.
struct Callout {
  std::string words;
  Vector2d anchor;
  Colour colour;
  bool bold = false;
};

/// Two columns beside the drawing.
struct Columns {
  Area drawing;      ///< what the columns stand beside
  double right = 0;  ///< the picture's right rim
  double size = 14;  ///< of the letters
};

/// Each callout goes to the column that is nearer to its anchor, in the anchors' order from top to bottom.
void draw_callouts(Canvas& canvas, const Columns& columns, std::vector<Callout> callouts);

}  // namespace cellproof
