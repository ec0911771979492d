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

}  // namespace cellproof
