// SPDX-License-Identifier: GPL-3.0-or-later
// What hangs on the wrist over a stretch, and what the drives must give.
#pragma once

#include <optional>

#include "scene/cycle/cycle.hpp"
#include "scene/forces/carried_mass.hpp"
#include "scene/forces/wrist_load.hpp"

namespace cellproof {

struct WristMeasure {
  double mass_kg = 0;
  double offset_mm = 0;  ///< of the common centre of mass from the flange's centre
  WristLoad load;        ///< the greatest over the stretch, looked at every degree of any joint
};

/// Of the end effector with what it holds; nothing where some mass is not known or nothing is carried.
std::optional<WristMeasure> measure_wrist(const Scene& scene, const BodyMasses& masses, const Stretch& stretch);

/// The greatest size of each joint's torque (N m) over the stretch, and when.
struct TorqueMeasure {
  Joints greatest_nm = Joints::Zero(), time_s = Joints::Zero();
};

/// Looked at every degree of any joint and on both sides of every jump; nothing where a link's mass or inertia, or that
/// of what it carries, is not known.
std::optional<TorqueMeasure> measure_torques(const Scene& scene, const BodyMasses& masses, const Stretch& stretch);

}  // namespace cellproof
