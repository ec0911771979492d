// SPDX-License-Identifier: GPL-3.0-or-later
// What the arm carries and what its links weigh, as the cell file gives it.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "scene/mesh/rigid_mass.hpp"
#include "scene/scene.hpp"

namespace cellproof {

/// What the cell says of a body or a part that it has.
Matter matter_of(const Cell& cell, const std::string& name);

/// What each body weighs, in its own frame, or what is missing for it: "neither mass nor density".
using BodyMasses = Table<BodyId, tl::expected<RigidMass, std::string>>;
BodyMasses body_masses(const Scene& scene);

/// A body or a link whose mass is not known, and what is missing.
struct MassGap {
  std::string name, missing;
};

/// A sum over bodies, or what is missing for it: then `mass` stays NaN.
struct MassSum {
  RigidMass mass;
  std::vector<MassGap> lacking;
  bool known() const { return lacking.empty(); }
};

/// Both, in the same frame; what is missing to either is missing to both.
MassSum sum_of(const MassSum& a, const MassSum& b);

/// The part with the bodies on it, in the part's frame.
MassSum part_mass(const Scene& scene, const BodyMasses& masses, const Arrangement& arrangement, PartId part);

/// All end-effector bodies, in the flange's frame. Fingers where the arrangement has them.
MassSum end_effector_mass(const Scene& scene, const BodyMasses& masses, const Arrangement& arrangement);

/// The bodies on link1 … link6, each link's in its own frame. A link without a body lacks its mass.
std::array<MassSum, 6> link_masses(const Scene& scene, const BodyMasses& masses, const Arrangement& arrangement);

}  // namespace cellproof
