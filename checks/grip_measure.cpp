// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/grip_measure.hpp"

namespace cellproof {

namespace {

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
                      scene.cell.rules.stop},
             *holder);
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
  const auto mend = with_move(scene, masses, stretch, [&](const GripMove& move, const Holder&) {
    GripMend found;
    found.force_times = factor / least_grip(move).least().factors.least();
    found.slowness = slowness_needed(move, factor);
    found.stop = stop_allowed(move, factor);
    return found;
  });
  return mend.value_or(GripMend{});
}

}  // namespace cellproof
