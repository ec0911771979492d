// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/cutting_force.hpp"

#include "scene/forces/milling_forces.hpp"

namespace cellproof {

namespace {

CutForces forces_of(const Cutter& cutter) {
  const MillingForces milling = milling_forces(cutter);
  CutForces forces;
  forces.source = CutSource::cutter;
  forces.side = milling.side_peak;
  forces.lift = milling.lift_peak;
  forces.thrust = milling.thrust_peak;
  forces.side_mean = milling.side_mean;
  forces.power = milling.tangential_mean * cutting_speed(cutter) / 1000;
  return forces;
}

}  // namespace

CutForces cut_forces(const Cut& cut) {
  if (cut.cutter) return forces_of(*cut.cutter);
  CutForces forces;
  forces.lift = cut.lift_force;
  forces.thrust = cut.thrust;
  forces.side = cut.side_force.value_or(0);
  if (!cut.power) return forces;
  forces.source = CutSource::power;
  forces.power = cut.power;
  forces.side_mean = *cut.power / (*cut.cutting_speed / 1000);
  forces.side = *forces.side_mean * *cut.peak;
  return forces;
}

CutForces at_upper_end(CutForces forces) {
  if (forces.estimated()) forces.side *= 1 + estimate_error;
  if (forces.source == CutSource::cutter) {
    forces.lift *= 1 + estimate_error;
    forces.thrust *= 1 + estimate_error;
  }
  return forces;
}

}  // namespace cellproof
