// SPDX-License-Identifier: GPL-3.0-or-later
// How well the part in hand is held over a stretch.
#pragma once

#include <optional>
#include <vector>

#include "scene/forces/carried_mass.hpp"
#include "scene/forces/grip_least.hpp"
#include "scene/forces/holder.hpp"

namespace cellproof {

struct GripMeasure {
  GripLeast least;
  double force = 0;                      ///< N
  std::vector<double> zone_loads;        ///< N, by zone of the tcp, where the factor is least
  std::optional<double> moment_in_pads;  ///< N mm, of a jaw, where the factor is least
};

/// Nothing where no part is in hand, its mass or inertia is not known or the tcp names nothing that holds.
std::optional<GripMeasure> measure_grip(const Scene& scene, const BodyMasses& masses, const Stretch& stretch);

/// What would mend a stretch that holds less than `factor` times.
struct GripMend {
  std::optional<double> slowness;    ///< share of the present speed that does; its square of the acceleration
  std::optional<double> stop;        ///< mm/s^2: the hardest stop that does, if stops are asked for
  double force_times = 1;            ///< this many times the holding force does at full speed
  std::optional<double> area_times;  ///< and the zones at so many times their area; none if not even at thousands
};
GripMend mend_grip(const Scene& scene, const BodyMasses& masses, const Stretch& stretch, double factor);

}  // namespace cellproof
