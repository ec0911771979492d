// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include "kinematics/closed_form.hpp"

namespace cellproof {
namespace {

bool vanishes(double x) {
  return std::abs(x) < 1e-9;
}

/// The first three joints move the wrist's centre in space, not just on a curve or a surface.
bool moves_wrist_in_space(const NormalChain& chain) {
  const auto& [first, second, third, fourth, fifth] = chain.links;
  const bool coincide =
      (vanishes(first.a) && vanishes(first.tilt.sine)) || (vanishes(second.a) && vanishes(second.tilt.sine));
  const bool parallel = vanishes(first.tilt.sine) && vanishes(second.tilt.sine);
  const bool concurrent = vanishes(first.a) && vanishes(second.a) && vanishes(second.d);
  const bool centre_on_axis = vanishes(third.a) && vanishes(third.tilt.sine * fourth.d);
  return !coincide && !parallel && !concurrent && !centre_on_axis;
}

bool has_spherical_wrist(const NormalChain& chain) {
  const auto& [first, second, third, fourth, fifth] = chain.links;
  const bool concurrent = vanishes(fourth.a) && vanishes(fifth.a) && vanishes(fifth.d);
  const bool turns_freely = !vanishes(fourth.tilt.sine) && !vanishes(fifth.tilt.sine);
  return concurrent && turns_freely && moves_wrist_in_space(chain);
}

bool has_parallel_axes(const NormalChain& chain) {
  const auto& [first, second, third, fourth, fifth] = chain.links;
  const bool parallel = vanishes(second.tilt.sine) && vanishes(third.tilt.sine);
  const bool moves_in_plane = !vanishes(second.a) && !vanishes(third.a);
  const bool leaves_plane = !vanishes(first.tilt.sine) && !vanishes(fourth.tilt.sine);
  return parallel && moves_in_plane && leaves_plane && !(vanishes(fifth.a) && vanishes(fifth.tilt.sine));
}

}  // namespace

ArmStructure structure_of(const NormalChain& chain) {
  if (has_spherical_wrist(chain)) return ArmStructure::spherical_wrist;
  if (has_parallel_axes(chain)) return ArmStructure::parallel_axes;
  return ArmStructure::general;
}

ArmStructure arm_structure(const Arm& arm) {
  return structure_of(normal_chain(arm));
}

}  // namespace cellproof
