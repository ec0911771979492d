// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/grip_measure.hpp"

#include <algorithm>
#include <limits>

namespace cellproof {

namespace {

/// How hard each joint stops by itself (rad/s^2), at full speed over its time; infinite where the file does not say.
Joints joint_stops(const ArmEntry& entry) {
  Joints stops = Joints::Constant(std::numeric_limits<double>::infinity());
  for (std::size_t j = 0; j < 6; ++j)
    if (entry.stop_times[j]) stops[static_cast<Eigen::Index>(j)] = entry.arm.limits[j].speed / *entry.stop_times[j];
  return stops;
}

/// Calls ask(move, holder) where a part of known mass is in a hand that holds it.
template <class Ask>
auto with_move(const Scene& scene, const BodyMasses& masses, const Stretch& stretch, const Ask& ask)
    -> std::optional<decltype(ask(std::declval<GripMove>(), std::declval<Holder>()))> {
  if (!stretch.held_part) return std::nullopt;
  const MassSum mass = part_mass(scene, masses, *stretch.arrangement, stretch.held_part);
  const auto holder = holder_of(scene, *stretch.arrangement, stretch.holding_tcp, stretch.held_part);
  if (!mass.known() || mass.mass.inertia.hasNaN() || !holder) return std::nullopt;
  const HeldPart part = held_part(scene, stretch, mass.mass);
  return ask(GripMove{scene.cell.arm.arm, stretch.motion, part, [&](const Load& load) { return holder->factors(load); },
                      scene.cell.rules.stop, 1, joint_stops(scene.cell.arm)},
             *holder);
}

/// Larger lips also stand further out: from what force alone would take, on until it does.
std::optional<double> area_needed(const Scene& scene, const Stretch& stretch, const GripMove& move, double factor,
                                  double times) {
  constexpr double most = 1e4;
  while (times < most) {
    const auto grown = holder_of(scene, *stretch.arrangement, stretch.holding_tcp, stretch.held_part, times);
    GripMove tried = move;
    tried.holder = [&](const Load& load) { return grown->factors(load); };
    const double held = least_grip(tried).least().factors.least();
    if (held >= factor) return times;
    times *= std::max(1.005, std::min(2.0, factor / held));
  }
  return std::nullopt;
}

}  // namespace

std::optional<GripMeasure> measure_grip(const Scene& scene, const BodyMasses& masses, const Stretch& stretch) {
  return with_move(scene, masses, stretch, [](const GripMove& move, const Holder& holder) {
    GripMeasure measure;
    measure.least = least_grip(move);
    measure.force = holder.force();
    const Load& load = measure.least.least().load;
    if (holder.suction()) measure.zone_loads = zone_loads(*holder.suction(), load);
    if (holder.jaw()) measure.moment_in_pads = holder.moment_in_pads(load);
    return measure;
  });
}

GripMend mend_grip(const Scene& scene, const BodyMasses& masses, const Stretch& stretch, double factor) {
  const auto mend = with_move(scene, masses, stretch, [&](const GripMove& move, const Holder& holder) {
    GripMend found;
    found.force_times = factor / least_grip(move).least().factors.least();
    if (holder.suction()) found.area_times = area_needed(scene, stretch, move, factor, found.force_times);
    found.slowness = slowness_needed(move, factor);
    found.stop = stop_allowed(move, factor);
    return found;
  });
  return mend.value_or(GripMend{});
}

}  // namespace cellproof
