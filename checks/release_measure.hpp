// SPDX-License-Identifier: GPL-3.0-or-later
// What holds a part once it lies by itself.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "checks/release_moments.hpp"
#include "scene/forces/balance.hpp"
#include "scene/forces/carried_mass.hpp"

namespace cellproof {

/// How a part is balanced by what it touches.
struct Support {
  double friction = 0;   ///< that it needs to be so; 0: by pressing alone
  bool assumed = false;  ///< the friction: the file gives none
  Balance balance;
};

struct ReleaseMeasure {
  std::string step;  ///< empty at the start
  double time_s = 0;
  PartId part;
  HoldId hold;          ///< that has it, if any: then nothing more is measured
  bool placed = false;  ///< let go by the arm
  std::string seat;
  std::optional<double> drop_mm;   ///< asked
  std::vector<BodyId> rests_on;    ///< that it touches where it can be pressed
  std::optional<FacesGap> air;     ///< where it rests on nothing: straight down to the next body
  bool near_something = false;     ///< its seat stands on a body, or one is within the part's own size below
  std::optional<Support> support;  ///< where it rests on something and its centre is known
  double resolution_mm = 1;        ///< smaller figures than this mean nothing
};

/// Nothing is told apart that is smaller than this (mm).
inline constexpr double least_resolution_mm = 1;

/// Contacts within `contact_depth` (0.1 mm at least) against every body that is not of arm or end effector. The centre
/// of mass is the file's, else the middle of the closed meshes' volume. First without friction, then with that of a
/// hold for this part and seat, then with 0.1, assumed.
std::vector<ReleaseMeasure> measure_releases(const Scene& scene, const BodyMasses& masses, const CycleRun& run);

}  // namespace cellproof
