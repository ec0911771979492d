// SPDX-License-Identifier: GPL-3.0-or-later
// Lines and text on a picture (Cairo). Positions are in pixels from the top left corner of the picture.
#pragma once

#include <memory>
#include <span>
#include <string>

#include "kinematics/types.hpp"
#include "viewer/pictures/image.hpp"

namespace cellproof {

struct Stroke {
  Colour colour;
  double width = 1;
  double opacity = 1;
  bool dashed = false;
};

struct Lettering {
  double size = 14;
  Colour colour;
  bool bold = false;
  bool halo = true;  ///< a rim of paper around the letters
};

/// A rectangle on the picture.
struct Area {
  double left = 0, top = 0, width = 0, height = 0;
  bool overlaps(const Area& other) const;
};

/// Draws onto an image that outlives it.
class Canvas {
 public:
  explicit Canvas(Image& image);
  ~Canvas();
  Canvas(const Canvas&) = delete;
  Canvas& operator=(const Canvas&) = delete;

  void line(std::span<const Vector2d> points, const Stroke& stroke, bool closed = false);
  void disk(const Vector2d& centre, double radius, const Colour& colour);
  void fill(const Area& area, const Colour& colour, double opacity = 1);
  /// Text that starts at `start` (left end of its base line).
  void text(const Vector2d& start, const std::string& words, const Lettering& lettering);
  /// Width of a text in pixels.
  double width_of(const std::string& words, const Lettering& lettering);
  /// Nothing is drawn outside of it from now on.
  void keep_within(const Area& area);

 private:
  struct Inside;
  std::unique_ptr<Inside> inside_;
};

/// Words cut off with "…" where they are wider than that; empty where hardly a letter fits.
std::string shortened(Canvas& canvas, const std::string& words, const Lettering& lettering, double width);

}  // namespace cellproof
