// SPDX-License-Identifier: GPL-3.0-or-later
// Sine and cosine without a branch, of one angle or of a vector of them. Reduction by quarter turns in three parts
// after W. J. Cody and W. Waite; polynomials of FDLIBM's kernels (Sun Microsystems, 1993). Error below 2e-16.
#pragma once

#include <cstdint>

#include "kinematics/lane_clones.hpp"

namespace cellproof::sine_kernels {

/// Of an angle (rad) of this size and more the reduction would lose digits.
inline constexpr double largest = 1e5;

namespace {

/// Of angles up to an eighth of a turn.
template <class T>
CELLPROOF_IN_LANE T small_sine(const T& r) {
  const T z = r * r;
  T p = 1.58969099521155010221e-10 * z - 2.50507602534068634195e-08;
  p = p * z + 2.75573137070700676789e-06;
  p = p * z - 1.98412698298579493134e-04;
  p = p * z + 8.33333333332248946124e-03;
  p = p * z - 1.66666666666666324348e-01;
  return r + r * z * p;
}

template <class T>
CELLPROOF_IN_LANE T small_cosine(const T& r) {
  const T z = r * r;
  T p = -1.13596475577881948265e-11 * z + 2.08757232129817482790e-09;
  p = p * z - 2.75573143513906633035e-07;
  p = p * z + 2.48015872894767294178e-05;
  p = p * z - 1.38888888888741095749e-03;
  p = p * z + 4.16666666666666019037e-02;
  const T half = z / 2, rest = 1 - half;
  return rest + (((1 - rest) - half) + z * z * p);
}

/// T is double or a vector of doubles, Bits std::uint64_t or as many of them.
template <class T, class Bits>
CELLPROOF_IN_LANE void sine_and_cosine(const T& angle, T& sine, T& cosine) {
  // Adding 1.5 · 2^52 rounds to a whole number and leaves it in the low bits.
  constexpr double rounder = 6755399441055744.0, quarters_per_radian = 0.63661977236758134308;
  const T shifted = angle * quarters_per_radian + rounder;
  const Bits quarter = __builtin_bit_cast(Bits, shifted);
  const T quarters = shifted - rounder;
  const T r = ((angle - quarters * 1.57079632673412561417e+00) - quarters * 6.07710050630396597660e-11) -
              quarters * 2.02226624879595063154e-21;
  const Bits s = __builtin_bit_cast(Bits, small_sine(r)), c = __builtin_bit_cast(Bits, small_cosine(r));
  const Bits swapped = -(quarter & 1);
  const Bits sine_bits = ((c & swapped) | (s & ~swapped)) ^ ((quarter & 2) << 62);
  const Bits cosine_bits = ((s & swapped) | (c & ~swapped)) ^ (((quarter + 1) & 2) << 62);
  sine = __builtin_bit_cast(T, sine_bits);
  cosine = __builtin_bit_cast(T, cosine_bits);
}

}  // namespace

}  // namespace cellproof::sine_kernels
