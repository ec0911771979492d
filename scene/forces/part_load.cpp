// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/part_load.hpp"

namespace cellproof {

Load load_of(const RigidMass& mass, const RigidMotion& motion, const Vector3d& gravity) {
  constexpr double newton = 1e-3;  // kg mm/s^2
  const Vector3d& w = motion.turning;
  Load load;
  load.at = mass.com;
  load.force = newton * mass.kg * (gravity - motion.com_acceleration);
  load.moment = -newton * (mass.inertia * motion.turning_change + w.cross(mass.inertia * w));
  return load;
}

}  // namespace cellproof
