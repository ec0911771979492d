// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/cutting_force.hpp"

namespace cellproof {

SideForce side_force(const Cut& cut) {
  if (cut.side_force) return {*cut.side_force, false};
  const double metres_per_second = *cut.cutting_speed / 1000;
  return {*cut.power / metres_per_second * *cut.peak, true};
}

}  // namespace cellproof
