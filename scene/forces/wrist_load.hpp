// SPDX-License-Identifier: GPL-3.0-or-later
// What hangs on the wrist: mass, moment and inertia about axes 4, 5 and 6.
#pragma once

#include <array>
#include <vector>

#include "kinematics/forward.hpp"
#include "kinematics/numbered.hpp"
#include "scene/mesh/rigid_mass.hpp"

namespace cellproof {

struct AxisLoad {
  double moment_nm = 0;     ///< m g times the distance of the centre of mass from the axis: the worst attitude
  double inertia_kgm2 = 0;  ///< about the axis; NaN where the mass's inertia is not known
};
using WristLoad = Numbered<AxisLoad, 3>;  ///< axes 4, 5, 6

/// Of a mass in the flange's frame, at the arm's joint values.
WristLoad wrist_load(const Arm& arm, const Joints& values, const RigidMass& mass_in_flange);

/// The greater of each.
WristLoad greater_of(const WristLoad& a, const WristLoad& b);

/// Mass (kg) that a table of [distance (mm), mass (kg)], in rising order, allows at a distance: straight between its
/// points, the first's before them, nothing beyond the last.
double mass_allowed(const std::vector<std::array<double, 2>>& offsets, double distance_mm);

}  // namespace cellproof
