// SPDX-License-Identifier: GPL-3.0-or-later
// A picture in memory and on disk.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include <tl/expected.hpp>

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

/// Which of a picture's pixels it is, counted row by row from the top left.
inline std::size_t pixel_number(int column, int row, int width) {
  return static_cast<std::size_t>(row) * static_cast<std::size_t>(width) + static_cast<std::size_t>(column);
}

/// Rows from the top left; a pixel is 0xFFRRGGBB.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint32_t> pixels;

  std::uint32_t& at(int column, int row) { return pixels[pixel_number(column, row, width)]; }
  std::uint32_t at(int column, int row) const { return const_cast<Image*>(this)->at(column, row); }
};

std::uint32_t packed(const Colour& colour);
Image blank_image(int width, int height, const Colour& colour);

/// The picture as the bytes of a PNG file. Error: a sentence.
tl::expected<std::string, std::string> png_of(const Image& image);

}  // namespace cellproof
