// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/jaw_grip.hpp"

#include <cmath>

namespace cellproof {

GripFactors grip_factors(const Jaw& jaw, const Load& load) {
  const bool two = jaw.pads == 2;
  const double in_pads = two ? std::hypot(load.force.y(), load.force.z()) : std::abs(load.force.z());
  const double across = two ? std::abs(load.force.x()) : std::hypot(load.force.x(), load.force.y());
  // Two pads: force ± load/2. Three: force ± 2/3 load at the pad straight ahead.
  const double parted_by = jaw.force * (two ? 2 : 1.5);
  GripFactors factors;
  const double rounding = 1e-9 * jaw.force;  // less than this is demanded by no motion
  if (in_pads > rounding) factors.slip = jaw.pads * jaw.friction * jaw.force / in_pads;
  if (across > rounding) factors.pull = parted_by / across;
  return factors;
}

double moment_in_pads(const Jaw& jaw, const Load& load) {
  const Vector3d moment = load.moment_about(Vector3d::Zero());
  return std::abs(jaw.pads == 2 ? moment.x() : moment.z());
}

}  // namespace cellproof
