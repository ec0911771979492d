// SPDX-License-Identifier: GPL-3.0-or-later
// A picture in memory and on disk.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "scene/basics/raster.hpp"

namespace cellproof {

/// Red, green and blue from 0 to 1, as shown (sRGB).
struct Colour {
  double red = 0, green = 0, blue = 0;
};

/// `share` of `over` laid on `under`.
inline Colour blend(const Colour& under, const Colour& over, double share) {
  return {under.red + share * (over.red - under.red), under.green + share * (over.green - under.green),
          under.blue + share * (over.blue - under.blue)};
}

/// Rows from the top left; a pixel is 0xFFRRGGBB.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint32_t> pixels;

  std::uint32_t& at(int column, int row) { return pixels[raster_place(width, column, row)]; }
  std::uint32_t at(int column, int row) const { return const_cast<Image*>(this)->at(column, row); }
};

std::uint32_t packed(const Colour& colour);
Image blank_image(int width, int height, const Colour& colour);

/// The picture as the bytes of a PNG file. Error: a sentence.
tl::expected<std::string, std::string> png_of(const Image& image);

}  // namespace cellproof
