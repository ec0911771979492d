// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/instant.hpp"

#include "checks/checked_pairs.hpp"
#include "scene/clearance/clearance.hpp"

namespace cellproof {

std::optional<ClearanceFigure> instant_clearance(const Scene& scene, const Stretch& stretch, double time_s) {
  Stretch instant = stretch;
  const Joints standing = joints_at(stretch, time_s);
  instant.motion = Motion{Path::joint(standing, standing), TimeLaw{}};
  instant.arrangement = std::make_shared<const Arrangement>(arrangement_at(stretch, time_s));
  const auto pairs = checked_pairs(scene, instant);  // what shifts counts, and stands where it has come to
  instant.shifts.clear();
  const StretchClearance clearance = measure_clearance(scene, instant, pairs);
  if (!clearance.closest) return std::nullopt;
  const std::size_t closest = *clearance.closest;
  ClearanceFigure figure;
  figure.lower_mm = clearance.lower_mm;
  figure.upper_mm = clearance.upper_mm;
  figure.between = {scene.bodies[pairs[closest].a].name, scene.bodies[pairs[closest].b].name};
  figure.time_s = time_s;
  figure.points = clearance.pairs[closest].points;
  return figure;
}

}  // namespace cellproof
