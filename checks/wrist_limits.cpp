// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/wrist_limits.hpp"

#include <cmath>

#include <fmt/format.h>

#include "kinematics/entry.hpp"

namespace cellproof {

std::vector<WristLimit> wrist_limits(const Payload& payload, const WristMeasure& wrist) {
  std::vector<WristLimit> limits;
  if (payload.mass) limits.push_back({"mass", "kg", wrist.mass_kg, *payload.mass});
  for (const auto& axis : payload.axes) {
    const AxisLoad& load = entry(wrist.load, axis.axis - 4);
    if (axis.moment)
      limits.push_back({fmt::format("moment about axis {}", axis.axis), "N m", load.moment_nm, *axis.moment});
    if (axis.inertia && !std::isnan(load.inertia_kgm2))
      limits.push_back({fmt::format("inertia about axis {}", axis.axis), "kg m^2", load.inertia_kgm2, *axis.inertia});
  }
  if (!payload.offsets.empty())
    limits.push_back({fmt::format("mass with its centre {:.1f} mm from the flange", wrist.offset_mm), "kg",
                      wrist.mass_kg, mass_allowed(payload.offsets, wrist.offset_mm)});
  return limits;
}

}  // namespace cellproof
