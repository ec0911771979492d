// SPDX-License-Identifier: GPL-3.0-or-later
// A mill's forces by summing small pieces of its edges, in plain x and y.
#pragma once

#include <algorithm>
#include <cmath>

#include "scene/cell/cell.hpp"

namespace cellproof::test {

struct SummedForces {
  double side_peak = 0, side_mean = 0, axial_peak = 0, tangential_mean = 0;
};

/// The part moves along -x beside a cutter that turns about the origin, so the cutter advances along +x; its front half
/// cuts what lies in a strip of y. The depth is made of disks that lag by 0.0002 rad each, the way from tooth to tooth
/// of as many angles as are asked. Each piece of an edge cuts a chip as thick as the advance per tooth, seen along the
/// radius.
inline SummedForces summed_forces(const Cutter& cutter, int angles) {
  const double radius = cutter.diameter / 2, turns_per_second = cutter.spindle / (2 * pi);
  const double advance = cutter.feed / turns_per_second / cutter.teeth;
  const double high = cutter.centred ? cutter.width / 2 : radius, low = high - cutter.width;
  const double lag = std::tan(cutter.helix) / radius;  // for each mm
  const int disks = 1 + static_cast<int>(std::abs(lag) * cutter.depth / 0.0002);
  const double thickness = cutter.depth / disks;
  SummedForces summed;
  for (int k = 0; k < angles; ++k) {
    double fx = 0, fy = 0, along_axis = 0, along_path = 0;
    for (int tooth = 0; tooth < cutter.teeth; ++tooth)
      for (int disk = 0; disk < disks; ++disk) {
        const double rise = (disk + 0.5) * thickness;
        const double turned = 2 * pi * (k / double(angles) + tooth) / cutter.teeth - rise * lag;
        const double x = radius * std::cos(turned), y = radius * std::sin(turned);
        if (x <= 0 || y < low || y > high) continue;
        const double chip = advance * x / radius;
        const double push = cutter.kc11 * std::pow(chip, -cutter.mc) * chip * thickness;
        fx += push * (-y - cutter.radial * x) / radius;
        fy += push * (x - cutter.radial * y) / radius;
        along_axis += push * std::tan(cutter.helix);
        along_path += push;
      }
    const double side = std::sqrt(fx * fx + fy * fy);
    summed.side_peak = std::max(summed.side_peak, side);
    summed.axial_peak = std::max(summed.axial_peak, std::abs(along_axis));
    summed.side_mean += side / angles;
    summed.tangential_mean += along_path / angles;
  }
  return summed;
}

}  // namespace cellproof::test
