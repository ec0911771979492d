// SPDX-License-Identifier: GPL-3.0-or-later
// Colours as the drawing library is given them, to be seen as they are meant.
#pragma once

#include <cmath>

#include <Eigen/Dense>

#include "viewer/pictures/image.hpp"

namespace cellproof {

/// The library takes colours to linear light and, without its costly last pass, shows them so: what is to be seen is
/// given brighter by as much (IEC 61966-2-1).
inline Eigen::Vector4f given(const Colour& seen, double opacity) {
  const auto encoded = [](double share) {
    return static_cast<float>(share <= 0.0031308 ? 12.92 * share : 1.055 * std::pow(share, 1 / 2.4) - 0.055);
  };
  return {encoded(seen.red), encoded(seen.green), encoded(seen.blue), static_cast<float>(opacity)};
}

/// Lit faces take the colour as it is given, and the library's surroundings light them a little blue: that much less
/// blue is given, so that a colour has the same hue here as in every other picture (measured on faces of known colour).
inline Eigen::Vector4f given_to_lit_face(const Colour& seen, double opacity) {
  constexpr double green_light = 1.05, blue_light = 1.09;
  return {static_cast<float>(seen.red), static_cast<float>(seen.green / green_light),
          static_cast<float>(seen.blue / blue_light), static_cast<float>(opacity)};
}

}  // namespace cellproof
