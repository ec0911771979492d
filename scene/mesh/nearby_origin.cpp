// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/mesh/nearby_origin.hpp"

#include <cmath>

namespace cellproof {

Vector3d nearby_origin(const Box& box) {
  const double half = (box.high - box.low).maxCoeff() / 2;
  if (!(half > 0)) return Vector3d::Zero();
  const double grid = std::exp2(std::ceil(std::log2(half)) + 2);  // a power of two: what is taken off has few digits
  return ((box.low + box.high) / 2).unaryExpr([&](double middle) { return grid * std::nearbyint(middle / grid); });
}

}  // namespace cellproof
