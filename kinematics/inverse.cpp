// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse.hpp"

#include <algorithm>
#include <cmath>

#include <Eigen/LU>

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

bool is_double_root(const Arm& arm, const ArmFrames& frames, double length) {
  Jacobian scaled = flange_jacobian(arm, frames);
  scaled.topRows<3>() /= length;
  // The other five singular values are bounded by the matrix's size, so a large determinant settles it at once.
  const double others = std::pow(scaled.squaredNorm() / 5, 2.5);
  if (std::abs(scaled.determinant()) > double_root_below * others) return false;
  return least_singular_value(scaled, 1) < double_root_below;
}

bool agree(const Joints& a, const Joints& b, double within) {
  const Joints turns = (a - b) / (2 * pi);
  return ((turns.array() - turns.array().round()).abs() * (2 * pi) < within).all();
}

/// Adds the solution unless it is there already; of two that agree the more exact stays.
void add_once(const Arm& arm, const Solution& solution, double length, std::vector<Solution>& all) {
  const Joints dh_angles = arm.dh_from_values * solution.values;
  for (Solution& known : all) {
    const double within = radians(known.double_root || solution.double_root ? 1e-3 : 1e-4);
    if (!agree(dh_angles, arm.dh_from_values * known.values, within)) continue;
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
  Solutions solutions;
  for (std::size_t i = 0; i < candidates.count; ++i) {
    Verified candidate = polished(arm, lattice, candidates.angles[i], flange_in_base, chain.length);
    if (!(candidate.solution.position_error_mm < position_tolerance_mm)) continue;
    if (!(candidate.solution.angle_error < angle_tolerance)) continue;
    candidate.solution.double_root = is_double_root(arm, candidate.frames, chain.length);
    solutions.singular = solutions.singular || (candidates.singular && candidate.solution.double_root);
    add_once(arm, candidate.solution, chain.length, solutions.all);
  }
  std::sort(solutions.all.begin(), solutions.all.end(), lower_first);
  return solutions;
}

}  // namespace cellproof
