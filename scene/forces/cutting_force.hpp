// SPDX-License-Identifier: GPL-3.0-or-later
// What the cutter pushes the part with.
#pragma once

#include "scene/cell/cell.hpp"

namespace cellproof {

/// Side force (N) and whether it is an estimate from power.
struct SideForce {
  double newton = 0;
  bool estimated = false;
};

/// As given, or power over cutting speed, the mean, times the peak over the mean (elementary: P = F v).
SideForce side_force(const Cut& cut);

/// Force coefficients for one alloy differ by a factor of two between papers (Chinese J. Mech. Eng. 2021, doi
/// 10.1186/s10033-021-00536-9, table 5): an estimate may be this share too low or too high.
inline constexpr double estimate_error = 0.5;

}  // namespace cellproof
