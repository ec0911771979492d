// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/arm_layout.hpp"

#include <cmath>

#include "kinematics/inverse/closed_form.hpp"

namespace cellproof {
namespace {

bool vanishes(double x) {
  return std::abs(x) < 1e-9;
}

}  // namespace

ArmLayout arm_layout(const Arm& arm) {
  const NormalChain chain = normal_chain(arm);
  const ArmStructure structure = structure_of(chain);
  const bool upright = vanishes(chain.links[0].tilt.cosine) && vanishes(chain.links[1].tilt.sine);
  if (structure == ArmStructure{AxisTriple::meeting, 4})
    return upright ? ArmLayout::spherical_wrist : ArmLayout::wrist_only;
  if (structure == ArmStructure{AxisTriple::parallel, 2} && upright && vanishes(chain.links[4].a))
    return ArmLayout::parallel_trio;
  return ArmLayout::other;
}

}  // namespace cellproof
