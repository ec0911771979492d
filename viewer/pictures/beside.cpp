// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/beside.hpp"

#include <algorithm>

#include "viewer/pictures/palette.hpp"

namespace cellproof {

namespace {

void copy_into(Image& image, const Image& part, int column) {
  for (int row = 0; row < part.height; ++row)
    for (int i = 0; i < part.width; ++i) image.at(column + i, row) = part.at(i, row);
}

}  // namespace

Image beside(const Image& left, const Image& right) {
  const int bar = std::max(4, (left.width + right.width) / 200);
  Image image = blank_image(left.width + bar + right.width, std::max(left.height, right.height), palette::paper);
  copy_into(image, left, 0);
  copy_into(image, right, left.width + bar);
  return image;
}

}  // namespace cellproof
