// SPDX-License-Identifier: GPL-3.0-or-later
// Sine and cosine of a fixed angle, exact and cheap at quarter turns, which most tables hold only.
#pragma once

#include <cmath>

#include "kinematics/types.hpp"

namespace cellproof {

struct Turn {
  double sine = 0, cosine = 1;
};

inline Turn turn_by(double angle) {
  constexpr double rounding = 1e-15;
  if (angle == 0) return {0, 1};
  if (std::abs(angle - pi / 2) < rounding) return {1, 0};
  if (std::abs(angle + pi / 2) < rounding) return {-1, 0};
  if (std::abs(std::abs(angle) - pi) < rounding) return {0, -1};
  return {std::sin(angle), std::cos(angle)};
}

}  // namespace cellproof
