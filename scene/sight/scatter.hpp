// SPDX-License-Identifier: GPL-3.0-or-later
// Sample places off the lattice: axis-aligned parts under a camera on an axis put edges exactly onto a regular one.
#pragma once

#include <cstdint>

#include "kinematics/types.hpp"

namespace cellproof {

/// Mixes 64 bits (the finaliser of splitmix64, G. Steele, D. Lea, C. Flood, 2014).
inline std::uint64_t mixed(std::uint64_t bits) {
  bits += 0x9e3779b97f4a7c15ULL;
  bits = (bits ^ (bits >> 30)) * 0xbf58476d1ce4e5b9ULL;
  bits = (bits ^ (bits >> 27)) * 0x94d049bb133111ebULL;
  return bits ^ (bits >> 31);
}

/// A place in the unit square that depends on the numbers alone: the same on every run and any number of threads.
inline Vector2d scattered(int column, int row) {
  const std::uint64_t bits = mixed(mixed(static_cast<std::uint64_t>(column)) ^ static_cast<std::uint64_t>(row));
  constexpr double unit = 1.0 / 4294967296.0;
  return {static_cast<double>(bits >> 32) * unit, static_cast<double>(bits & 0xffffffffULL) * unit};
}

}  // namespace cellproof
