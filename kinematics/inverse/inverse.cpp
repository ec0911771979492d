// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/inverse.hpp"

#include <algorithm>

#include "kinematics/inverse/closed_form.hpp"
#include "kinematics/inverse/four_positions.hpp"
#include "kinematics/inverse/inverse_general.hpp"
#include "kinematics/inverse/shortfall.hpp"
#include "kinematics/inverse/solution_list.hpp"

namespace cellproof {
namespace {

Candidates closed_candidates(const NormalChain& chain, const Pose& target, const ArmStructure& structure,
                             const Joints& dh_reference, double touching) {
  if (structure.triple == AxisTriple::meeting)
    return meeting_candidates(meeting_axes(chain, target, structure.first), dh_reference, touching);
  return parallel_candidates(parallel_axes(chain, target, structure.first), dh_reference, touching);
}

constexpr const char* singular_in_every_position =
    "the arm is singular in every position: its joints move the flange in fewer than six directions, so a pose has "
    "no joint solution or endlessly many";

/// The determinant of the Jacobian, in some positions without pattern: far quicker than to ask singular_everywhere.
bool hardly_moves(const Arm& arm, const ArmStructure& structure, double length) {
  constexpr double nothing = 1e-9;
  Joints some;
  some << 0.31, 1.27, -2.11, 0.83, 1.71, -0.57;
  const auto determinants =
      four_positions(arm, structure, length, {some, 1.37 * some, 1.74 * some, 2.11 * some}, Pose::Identity())
          .determinants;
  return *std::max_element(determinants.begin(), determinants.end()) < nothing;
}

/// What a search from many starts comes nearest with.
void add_nearest(SolutionList& solutions, const Arm& arm, const Pose& flange_in_base) {
  const Joints values = nearest_pose(arm, {Pose::Identity(), flange_in_base}, WithinLimits::no).values;
  const Joints dh_angles = arm.dh_from_values * values + solutions.lattice().theta();
  solutions.add({&dh_angles, 1});
}

}  // namespace

tl::expected<Solutions, std::string> inverse(const Arm& arm, const Pose& flange_in_base, const Joints& reference) {
  const NormalChain chain = normal_chain(arm);
  const ArmStructure structure = structure_of(chain);
  if (structure.triple == AxisTriple::none && singular_everywhere(arm)) {
    return tl::unexpected<std::string>(singular_in_every_position);
  }
  SolutionList solutions(arm, structure, chain.length, flange_in_base);
  const Pose target = chain.target(flange_in_base);
  const Joints dh_reference = arm.dh_from_values * reference + solutions.lattice().theta();
  bool unsure = structure.triple == AxisTriple::none;
  if (structure.triple == AxisTriple::none) {
    solutions.add(general_candidates(chain, target, dh_reference));
    // Axes that nearly meet or are nearly parallel leave an elimination few digits; the exact case stands nearby.
    if (const auto snapped = nearly_structured(chain)) {
      const Candidates nearby =
          closed_candidates(*snapped, target, structure_of(*snapped), dh_reference, closely_touching);
      solutions.add({nearby.angles.data(), nearby.count});
    }
  } else {
    const Candidates candidates = closed_candidates(chain, target, structure, dh_reference, closely_touching);
    solutions.add({candidates.angles.data(), candidates.count});
    unsure = candidates.unsure;
    if (solutions.empty()) {
      const Candidates more = closed_candidates(chain, target, structure, dh_reference, loosely_touching);
      solutions.add({more.angles.data(), more.count});
    }
  }
  if (solutions.empty()) {
    if (hardly_moves(arm, structure, chain.length) && singular_everywhere(arm))
      return tl::unexpected<std::string>(singular_in_every_position);
    if (unsure || solutions.nearly()) add_nearest(solutions, arm, flange_in_base);
  }
  return solutions.take();
}

}  // namespace cellproof
