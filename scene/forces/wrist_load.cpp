// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/wrist_load.hpp"

#include <algorithm>
#include <cmath>

#include "scene/forces/part_load.hpp"

namespace cellproof {

WristLoad wrist_load(const Arm& arm, const Joints& values, const RigidMass& mass_in_flange) {
  constexpr double newton_metres = 1e-6, square_metres = 1e-6;  // kg mm^2/s^2, kg mm^2
  const ArmFrames frames = arm_frames(arm, values);
  const auto axes = joint_axes(arm, frames);
  const RigidMass mass = placed_mass(mass_in_flange, frames.flange_in_base);
  WristLoad load;
  for (std::size_t i = 0; i < 3; ++i) {
    const JointAxis& axis = axes[i + 3];
    load[i].moment_nm =
        newton_metres * mass.kg * standard_gravity * (mass.com - axis.point).cross(axis.direction).norm();
    load[i].inertia_kgm2 = square_metres * inertia_about(mass, axis.point, axis.direction);
  }
  return load;
}

WristLoad greater_of(const WristLoad& a, const WristLoad& b) {
  WristLoad greater;
  for (std::size_t i = 0; i < 3; ++i) {
    greater[i].moment_nm = std::max(a[i].moment_nm, b[i].moment_nm);
    greater[i].inertia_kgm2 = std::max(a[i].inertia_kgm2, b[i].inertia_kgm2);
    if (std::isnan(b[i].inertia_kgm2)) greater[i].inertia_kgm2 = b[i].inertia_kgm2;
  }
  return greater;
}

double mass_allowed(const std::vector<std::array<double, 2>>& offsets, double distance_mm) {
  if (offsets.empty() || distance_mm > offsets.back()[0]) return 0;
  if (distance_mm <= offsets.front()[0]) return offsets.front()[1];
  const auto after = std::lower_bound(offsets.begin(), offsets.end(), distance_mm,
                                      [](const auto& point, double distance) { return point[0] < distance; });
  const auto before = after - 1;
  const double share = (distance_mm - (*before)[0]) / ((*after)[0] - (*before)[0]);
  return (1 - share) * (*before)[1] + share * (*after)[1];
}

}  // namespace cellproof
