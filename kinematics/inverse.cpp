// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/closed_form.hpp"
#include "kinematics/newton.hpp"
#include "kinematics/turn_lattice.hpp"

namespace cellproof {
namespace {

constexpr double position_tolerance_mm = 1e-6, angle_tolerance = 1e-9;
constexpr double double_root_below = 1e-6;

/// |R − R'| = 2 √2 sin(angle / 2)
double angle_between_rotations(const Eigen::Matrix3d& a, const Eigen::Matrix3d& b) {
  return 2 * std::asin(std::min(1.0, (a - b).norm() / (2 * std::numbers::sqrt2)));
}

/// A candidate with what forward kinematics says of it.
struct Verified {
  Solution solution;
  ArmFrames frames;
};

Verified verified(const Arm& arm, const Joints& values, const Pose& flange_in_base) {
  Verified result;
  result.frames = arm_frames(arm, values);
  const Pose& reached = result.frames.flange_in_base;
  result.solution.values = values;
  result.solution.position_error_mm = (reached.translation() - flange_in_base.translation()).norm();
  result.solution.angle_error = angle_between_rotations(reached.linear(), flange_in_base.linear());
  return result;
}

double scaled_error(const Solution& solution, double length) {
  return std::max(solution.position_error_mm / length, solution.angle_error);
}

Verified polished(const Arm& arm, const TurnLattice& lattice, const Joints& dh_angles, const Pose& flange_in_base,
                  double length) {
  constexpr double good_enough = 1e-13;
  Verified raw = verified(arm, lattice.values_of(dh_angles), flange_in_base);
  if (scaled_error(raw.solution, length) < good_enough) return raw;
  const auto settled = settle(arm, Pose::Identity(), flange_in_base, raw.solution.values, length);
  if (!settled) return raw;
  const Joints whole_dh_angles = arm.dh_from_values * *settled + lattice.theta();
  const Verified better = verified(arm, lattice.values_of(whole_dh_angles), flange_in_base);
  return scaled_error(better.solution, length) < scaled_error(raw.solution, length) ? better : raw;
}

/// |det J| by the DH angles, lengths over `length`, for arms of the two structures: the closed forms that their axes
/// leave, a tenth of the cost of an elimination.
double scaled_determinant(const std::array<JointAxis, 6>& axes, ArmStructure structure, double length) {
  const auto triple = [](const Vector3d& a, const Vector3d& b, const Vector3d& c) { return a.dot(b.cross(c)); };
  const auto speed_at = [&](std::size_t joint, const Vector3d& point) -> Vector3d {
    return axes[joint].direction.cross(point - axes[joint].point);
  };
  const double volume = length * length * length;
  const double wrist = triple(axes[3].direction, axes[4].direction, axes[5].direction);
  if (structure == ArmStructure::spherical_wrist) {
    const Vector3d& centre = axes[4].point;
    return std::abs(triple(speed_at(0, centre), speed_at(1, centre), speed_at(2, centre)) * wrist) / volume;
  }
  const Vector3d &common = axes[1].direction, &hand = axes[5].point;
  const double in_plane = triple(common, axes[3].point - axes[1].point, axes[3].point - axes[2].point);
  const double along = common.dot(speed_at(0, hand)) * wrist +
                       common.dot(speed_at(4, hand)) * triple(axes[0].direction, axes[3].direction, axes[5].direction);
  return std::abs(in_plane * along) / volume;
}

/// Above this |det J| the least singular value can't be below the double root's: the other five are bounded by the size
/// of J, whose columns are a unit direction each and a speed of at most the arm's whole length.
double clear_determinant(const Arm& arm, double length) {
  const double reach = 1 + arm.flange_in_link6.translation().norm() / length;
  return double_root_below * std::pow(6 * (1 + reach * reach) / 5, 2.5);
}

bool is_double_root(const Arm& arm, const ArmFrames& frames, double length) {
  return least_singular_value(flange_jacobian(arm, frames), length) < double_root_below;
}

/// Distance to the nearest whole turn; std::remainder costs more than all the rest of a comparison.
double off_whole_turns(double angle) {
  const double size = std::abs(angle), turns = static_cast<double>(static_cast<long>(size / (2 * pi) + 0.5));
  return std::abs(size - 2 * pi * turns);
}

bool agree(const Joints& dh_difference, double within) {
  for (const double angle : dh_difference) {
    if (!(off_whole_turns(angle) < within)) return false;
  }
  return true;
}

/// Adds the solution unless it is there already; of two that agree the more exact stays.
void add_once(const TurnLattice& lattice, const Solution& solution, double length, std::vector<Solution>& all) {
  for (Solution& known : all) {
    const double within = radians(known.double_root || solution.double_root ? 1e-3 : 1e-4);
    if (!agree(lattice.dh_difference(solution.values, known.values), within)) continue;
    if (scaled_error(solution, length) < scaled_error(known, length)) {
      const bool double_root = known.double_root || solution.double_root;
      known = solution;
      known.double_root = double_root;
    }
    return;
  }
  all.push_back(solution);
}

bool lower_first(const Solution& a, const Solution& b) {
  return std::lexicographical_compare(a.values.data(), a.values.data() + 6, b.values.data(), b.values.data() + 6);
}

}  // namespace

tl::expected<Solutions, std::string> inverse(const Arm& arm, const Pose& flange_in_base, const Joints& reference) {
  const NormalChain chain = normal_chain(arm);
  const ArmStructure structure = structure_of(chain);
  if (structure == ArmStructure::general) {
    return tl::unexpected<std::string>(
        "the arm has neither three last axes through one point nor axes 2, 3 and 4 parallel, or it is singular in "
        "every "
        "position; joint solutions of such arms are not computed");
  }
  const TurnLattice lattice(arm);
  const Pose target = chain.target(flange_in_base);
  const Joints dh_reference = arm.dh_from_values * reference + lattice.theta();
  const Candidates candidates = structure == ArmStructure::spherical_wrist
                                    ? spherical_candidates(chain, target, dh_reference)
                                    : parallel_candidates(chain, target, dh_reference);
  const double clear_of_double = clear_determinant(arm, chain.length);
  Solutions solutions;
  solutions.all.reserve(8);
  for (std::size_t i = 0; i < candidates.count; ++i) {
    Verified candidate = polished(arm, lattice, candidates.angles[i], flange_in_base, chain.length);
    if (!(candidate.solution.position_error_mm < position_tolerance_mm)) continue;
    if (!(candidate.solution.angle_error < angle_tolerance)) continue;
    // The bound is for signs on the diagonal; couplings are rare enough to take the long way.
    const bool clear = lattice.only_signs() &&
                       scaled_determinant(joint_axes(arm, candidate.frames), structure, chain.length) > clear_of_double;
    candidate.solution.double_root = !clear && is_double_root(arm, candidate.frames, chain.length);
    solutions.singular = solutions.singular || (candidates.singular && candidate.solution.double_root);
    add_once(lattice, candidate.solution, chain.length, solutions.all);
  }
  std::sort(solutions.all.begin(), solutions.all.end(), lower_first);
  return solutions;
}

}  // namespace cellproof
