// SPDX-License-Identifier: GPL-3.0-or-later
// A turn by its sine and cosine.
#pragma once

#include <numbers>

#include "kinematics/sine_kernels.hpp"

namespace cellproof {

struct Turn {
  double sine = 0, cosine = 1;
};

namespace {

/// Of an angle (rad) of any size.
inline Turn sine_and_cosine(double angle) {
  if (!(__builtin_fabs(angle) < sine_kernels::largest)) return {__builtin_sin(angle), __builtin_cos(angle)};
  Turn turn;
  sine_kernels::sine_and_cosine<double, std::uint64_t>(angle, turn.sine, turn.cosine);
  return turn;
}

/// Exact at quarter turns and quick there: for the angles of a table, which are quarter turns mostly.
CELLPROOF_IN_LANE Turn turn_by(double angle) {
  constexpr double rounding = 1e-15, half_turn = std::numbers::pi;
  if (angle == 0) return {0, 1};
  if (__builtin_fabs(angle - half_turn / 2) < rounding) return {1, 0};
  if (__builtin_fabs(angle + half_turn / 2) < rounding) return {-1, 0};
  if (__builtin_fabs(__builtin_fabs(angle) - half_turn) < rounding) return {0, -1};
  return sine_and_cosine(angle);
}

}  // namespace

}  // namespace cellproof
