// SPDX-License-Identifier: GPL-3.0-or-later
// What the cutter pushes the part with.
#pragma once

#include <optional>

#include "scene/cell/cell.hpp"

namespace cellproof {

/// Where the forces are from: as the file states them, the side force from power, or all from the cutter's figures.
enum class CutSource { stated, power, cutter };

/// N.
struct CutForces {
  CutSource source = CutSource::stated;
  double side = 0;                  ///< the greatest over a turn, as are lift and thrust
  double lift = 0, thrust = 0;      ///< off the seat and toward it
  std::optional<double> side_mean;  ///< of what is computed
  std::optional<double> power;      ///< W at the cutter, of what is computed

  bool estimated() const { return source != CutSource::stated; }
};

/// As given; or power over cutting speed, the mean, times the peak over the mean (elementary: P = F v); or from
/// milling_forces.
CutForces cut_forces(const Cut& cut);

/// Force coefficients for one alloy differ by a factor of two between papers (Chinese J. Mech. Eng. 2021, doi
/// 10.1186/s10033-021-00536-9, table 5): an estimate may be this share too low or too high.
inline constexpr double estimate_error = 0.5;

/// With all that is estimated at its upper end.
CutForces at_upper_end(CutForces forces);

}  // namespace cellproof
