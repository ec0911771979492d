// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/solution_list.hpp"

#include <algorithm>
#include <cmath>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/approach.hpp"
#include "kinematics/inverse/four_positions.hpp"
#include "kinematics/inverse/newton.hpp"
#include "kinematics/inverse/self_motion.hpp"

namespace cellproof {
namespace {

constexpr double angle_tolerance = 1e-9, double_root_below = 1e-6, promising = 1e-2;

/// A billionth of the arm, but no more than 1e-6 mm where rounding allows it.
double position_tolerance_mm(double length) {
  return std::max(1e-12 * length, std::min(1e-6, 1e-9 * length));
}

/// From |R − R'| = 2 √2 sin(angle / 2); a small sine is its angle.
double turn_between(double rotation_error) {
  const double sine = rotation_error / (2 * std::numbers::sqrt2);
  return 2 * (sine < 1e-8 ? sine : std::asin(std::min(1.0, sine)));
}

/// Above this scaled |det J| the least singular value of the flange's scaled Jacobian can't be below `least`, for an
/// arm whose values are DH angles but for their signs.
double clear_determinant(const Arm& arm, double length, double least) {
  // The other five are bounded by the size of J, whose columns are a unit direction each and a speed of at most the
  // arm's whole length.
  const double reach = 1 + arm.flange_in_link6.translation().norm() / length;
  return least * std::pow(6 * (1 + reach * reach) / 5, 2.5);
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
  Solution solution;
  double determinant = 0;  ///< |det J|, lengths over the arm's
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

std::array<SolutionList::Verified, 4> SolutionList::verified(const std::array<Joints, 4>& values) const {
  const FourPositions positions = four_positions(arm_, structure_, length_, values, flange_in_base_);
  std::array<Verified, 4> all;
  for (std::size_t i = 0; i < 4; ++i) {
    all[i].solution.values = values[i];
    all[i].solution.position_error_mm = positions.position_errors[i];
    all[i].solution.angle_error = turn_between(positions.rotation_errors[i]);
    all[i].determinant = positions.determinants[i];
  }
  return all;
}

SolutionList::Verified SolutionList::verified(const Joints& values) const {
  return verified(std::array<Joints, 4>{values, values, values, values})[0];
}

double SolutionList::scaled_error(const Solution& solution) const {
  return std::max(solution.position_error_mm / length_, solution.angle_error);
}

SolutionList::Verified SolutionList::polished(const Verified& candidate) const {
  constexpr double good_enough = 1e-13;
  if (scaled_error(candidate.solution) < good_enough) return candidate;
  auto settled = settle(arm_, Pose::Identity(), flange_in_base_, candidate.solution.values, length_);
  if (!settled) settled = settled_with_care(candidate.solution);
  if (!settled) return candidate;
  const Verified better = verified(lattice_.values_of(arm_.dh_from_values * *settled + lattice_.theta()));
  return scaled_error(better.solution) < scaled_error(candidate.solution) ? better : candidate;
}

/// Between two solutions that nearly fall together the undamped iteration is thrown far off.
std::optional<Joints> SolutionList::settled_with_care(const Solution& near) const {
  if (!(scaled_error(near) < promising)) return std::nullopt;
  ApproachRequest request;
  request.tool_in_base = flange_in_base_;
  request.weight_per_mm = 1 / length_;
  return settle(arm_, Pose::Identity(), flange_in_base_, approach(arm_, request, near.values).values, length_);
}

bool SolutionList::is_double_root(const Verified& candidate) const {
  // The bound is for signs on the diagonal; couplings are rare enough to take the long way.
  if (lattice_.only_signs() && candidate.determinant > clear_of_double_) return false;
  const ArmFrames frames = arm_frames(arm_, candidate.solution.values);
  return least_singular_value(flange_jacobian(arm_, frames), length_) < double_root_below;
}

void SolutionList::add(std::span<const Joints> whole_dh_angles) {
  for (std::size_t first = 0; first < whole_dh_angles.size(); first += 4) {
    const std::span<const Joints> some =
        whole_dh_angles.subspan(first, std::min<std::size_t>(4, whole_dh_angles.size() - first));
    std::array<Joints, 4> values;
    for (std::size_t i = 0; i < 4; ++i) values[i] = lattice_.values_of(some[std::min(i, some.size() - 1)]);
    const std::array<Verified, 4> candidates = verified(values);
    for (std::size_t i = 0; i < some.size(); ++i) add(candidates[i]);
  }
}

void SolutionList::add(const Verified& candidate) {
  const Verified best = polished(candidate);
  Solution solution = best.solution;
  if (!exact(solution)) {
    nearly_ = nearly_ || scaled_error(solution) < promising;
    return;
  }
  solution.double_root = is_double_root(best);
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
  solutions_.singular = std::any_of(solutions_.all.begin(), solutions_.all.end(), [&](const Solution& solution) {
    return solution.double_root && moves_in_place(arm_, solution.values, length_);
  });
  return std::move(solutions_);
}

}  // namespace cellproof
