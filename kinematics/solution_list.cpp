// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/solution_list.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/approach.hpp"
#include "kinematics/newton.hpp"
#include "kinematics/scaled_determinant.hpp"
#include "kinematics/self_motion.hpp"

namespace cellproof {
namespace {

constexpr double angle_tolerance = 1e-9, double_root_below = 1e-6;

/// A billionth of the arm, but no more than 1e-6 mm where rounding allows it.
double position_tolerance_mm(double length) {
  return std::max(1e-12 * length, std::min(1e-6, 1e-9 * length));
}

/// |R − R'| = 2 √2 sin(angle / 2); a small sine is its angle.
double angle_between_rotations(const Eigen::Matrix3d& a, const Eigen::Matrix3d& b) {
  const double sine = (a - b).norm() / (2 * std::numbers::sqrt2);
  return 2 * (sine < 1e-8 ? sine : std::asin(std::min(1.0, sine)));
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

bool lower_first(const Solution& a, const Solution& b) {
  return std::lexicographical_compare(a.values.data(), a.values.data() + 6, b.values.data(), b.values.data() + 6);
}

}  // namespace

/// A candidate with what forward kinematics says of it.
struct SolutionList::Verified {
  Verified(const Arm& arm, const Joints& values) : frames(arm_frames(arm, values)) { solution.values = values; }
  Solution solution;
  ArmFrames frames;
};

SolutionList::SolutionList(const Arm& arm, const ArmStructure& structure, double length, const Pose& flange_in_base)
    : arm_(arm),
      structure_(structure),
      length_(length),
      clear_of_double_(clear_determinant(arm, length, double_root_below)),
      flange_in_base_(flange_in_base),
      lattice_(arm) {
  solutions_.all.reserve(8);
}

SolutionList::Verified SolutionList::verified(const Joints& values) const {
  Verified result(arm_, values);
  const Pose& reached = result.frames.flange_in_base;
  result.solution.position_error_mm = (reached.translation() - flange_in_base_.translation()).norm();
  result.solution.angle_error = angle_between_rotations(reached.linear(), flange_in_base_.linear());
  return result;
}

double SolutionList::scaled_error(const Solution& solution) const {
  return std::max(solution.position_error_mm / length_, solution.angle_error);
}

SolutionList::Verified SolutionList::polished(const Joints& whole_dh_angles) const {
  constexpr double good_enough = 1e-13;
  Verified best = verified(lattice_.values_of(whole_dh_angles));
  if (scaled_error(best.solution) < good_enough) return best;
  auto settled = settle(arm_, Pose::Identity(), flange_in_base_, best.solution.values, length_);
  if (!settled) settled = settled_with_care(best.solution);
  if (!settled) return best;
  const Verified better = verified(lattice_.values_of(arm_.dh_from_values * *settled + lattice_.theta()));
  if (scaled_error(better.solution) < scaled_error(best.solution)) best = better;
  return best;
}

/// Between two solutions that nearly fall together the undamped iteration is thrown far off.
std::optional<Joints> SolutionList::settled_with_care(const Solution& near) const {
  constexpr double promising = 1e-2;
  if (!(scaled_error(near) < promising)) return std::nullopt;
  ApproachRequest request;
  request.tool_in_base = flange_in_base_;
  request.weight_per_mm = 1 / length_;
  return settle(arm_, Pose::Identity(), flange_in_base_, approach(arm_, request, near.values).values, length_);
}

bool SolutionList::is_double_root(const Verified& candidate) const {
  // The bound is for signs on the diagonal; couplings are rare enough to take the long way.
  const auto determinant = [&] { return scaled_determinant(arm_, candidate.frames, structure_, length_); };
  if (lattice_.only_signs() && determinant() > clear_of_double_) return false;
  return least_singular_value(flange_jacobian(arm_, candidate.frames), length_) < double_root_below;
}

void SolutionList::add(const Joints& whole_dh_angles, bool free) {
  Verified candidate = polished(whole_dh_angles);
  Solution& solution = candidate.solution;
  if (!exact(solution)) return;
  solution.double_root = is_double_root(candidate);
  solutions_.singular = solutions_.singular || (free && solution.double_root);
  add_once(solution);
}

bool SolutionList::exact(const Solution& solution) const {
  return solution.position_error_mm < position_tolerance_mm(length_) && solution.angle_error < angle_tolerance;
}

/// Of a double root rounding can make two, a little to either side: where the middle is a solution as well, it is the
/// one, and `known` becomes it.
bool SolutionList::meet_midway(Solution& known, const Solution& other) const {
  constexpr double nearly = 1e-2 * pi / 180;
  const Joints apart = arm_.dh_from_values * (other.values - known.values);
  if (!agree(apart, nearly)) return false;
  const Joints half = apart.unaryExpr([](double angle) { return std::remainder(angle, 2 * pi) / 2; });
  const Verified middle = verified(lattice_.values_of(arm_.dh_from_values * known.values + lattice_.theta() + half));
  if (!exact(middle.solution)) return false;
  known = middle.solution;
  known.double_root = true;
  return true;
}

void SolutionList::join_halves_of_double_roots() {
  auto& all = solutions_.all;
  for (std::size_t i = 0; i < all.size(); ++i)
    for (std::size_t k = all.size() - 1; k > i; --k)
      if (all[i].double_root && all[k].double_root && meet_midway(all[i], all[k]))
        all.erase(all.begin() + static_cast<std::ptrdiff_t>(k));
}

/// Unless it is there already; of two that agree the more exact stays.
void SolutionList::add_once(const Solution& solution) {
  for (Solution& known : solutions_.all) {
    const bool double_root = known.double_root || solution.double_root;
    const double within = radians(double_root ? 1e-3 : 1e-4);
    if (!agree(lattice_.dh_difference(solution.values, known.values), within)) continue;
    if (scaled_error(solution) < scaled_error(known)) known = solution;
    known.double_root = double_root;
    return;
  }
  solutions_.all.push_back(solution);
}

Solutions SolutionList::take() {
  join_halves_of_double_roots();
  std::sort(solutions_.all.begin(), solutions_.all.end(), lower_first);
  solutions_.singular =
      solutions_.singular || std::any_of(solutions_.all.begin(), solutions_.all.end(), [&](const Solution& solution) {
        return solution.double_root && moves_in_place(arm_, solution.values, length_);
      });
  return std::move(solutions_);
}

}  // namespace cellproof
