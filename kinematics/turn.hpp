// SPDX-License-Identifier: GPL-3.0-or-later
// Sine and cosine of a fixed angle, exact and cheap at quarter turns, which most tables hold only.
#pragma once

#include <numbers>

#include "kinematics/lane_clones.hpp"

namespace cellproof {

struct Turn {
  double sine = 0, cosine = 1;
};

namespace {

CELLPROOF_IN_LANE Turn turn_by(double angle) {
  constexpr double rounding = 1e-15, half_turn = std::numbers::pi;
  if (angle == 0) return {0, 1};
  if (__builtin_fabs(angle - half_turn / 2) < rounding) return {1, 0};
  if (__builtin_fabs(angle + half_turn / 2) < rounding) return {-1, 0};
  if (__builtin_fabs(__builtin_fabs(angle) - half_turn) < rounding) return {0, -1};
  return {__builtin_sin(angle), __builtin_cos(angle)};
}

}  // namespace

}  // namespace cellproof
