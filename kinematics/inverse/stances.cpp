// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/stances.hpp"

#include <algorithm>

#include "kinematics/inverse/continuum.hpp"
#include "kinematics/inverse/newton.hpp"
#include "kinematics/inverse/shortfall.hpp"
#include "kinematics/turn_lattice.hpp"

namespace cellproof {
namespace {

bool in_limits(const Arm& arm, const Solution& solution) {
  return !whole_turns(arm, solution.values).empty();
}

/// Unless it is there already.
void add_new(std::vector<Solution>& all, const Arm& arm, const Solution& solution) {
  const TurnLattice lattice(arm);
  const auto same = [&](const Solution& known) {
    const Joints apart = lattice.dh_difference(known.values, solution.values);
    return apart.unaryExpr([](double angle) { return std::remainder(angle, 2 * pi); }).cwiseAbs().maxCoeff() < 1e-6;
  };
  if (std::none_of(all.begin(), all.end(), same)) all.push_back(solution);
}

}  // namespace

Solution solution_at(const Arm& arm, const Pose& flange_in_base, const Joints& values) {
  const TurnLattice lattice(arm);
  Solution solution;
  solution.values = lattice.values_of(arm.dh_from_values * values + lattice.theta());
  constexpr double double_root_below = 1e-6;
  solution.double_root =
      least_singular_value(flange_jacobian(arm, arm_frames(arm, values)), length_scale(arm)) < double_root_below;
  const Twist gap = pose_difference(cellproof::flange_in_base(arm, values), flange_in_base);
  solution.position_error_mm = gap.head<3>().norm();
  solution.angle_error = gap.tail<3>().norm();
  return solution;
}

bool stands_at(const Arm& arm, const Pose& flange_in_base, const Joints& values) {
  const Twist gap = pose_difference(cellproof::flange_in_base(arm, values), flange_in_base);
  const double exact_mm = std::max(1e-12 * length_scale(arm), 1e-6);
  return gap.head<3>().norm() < exact_mm && gap.tail<3>().norm() < 1e-9 && within_limits(arm, values);
}

std::optional<Joints> stance_near(const Arm& arm, const Pose& flange_in_base, const Joints& values) {
  if (stands_at(arm, flange_in_base, values)) return values;
  const auto settled = settle(arm, Pose::Identity(), flange_in_base, values, length_scale(arm));
  if (!settled) return std::nullopt;
  if (stands_at(arm, flange_in_base, *settled)) return settled;
  return nearest_within_limits(arm, flange_in_base, *settled, values);
}

tl::expected<Solutions, std::string> stances(const Arm& arm, const Pose& flange_in_base, const StanceWish& wish) {
  const Joints reference = wish.near.value_or(wish.from);
  auto solutions = inverse(arm, flange_in_base, reference);
  if (!solutions) return solutions;
  auto& all = solutions->all;
  const auto any_in_limits = [&] {
    return std::any_of(all.begin(), all.end(), [&](const Solution& solution) { return in_limits(arm, solution); });
  };
  const bool delicate = solutions->singular || std::any_of(all.begin(), all.end(), [](const Solution& solution) {
                          return solution.double_root;
                        });
  if (!delicate) return solutions;
  const std::size_t found = solutions->singular ? all.size() : 0;
  for (std::size_t i = 0; i < found; ++i) {
    if (!all[i].double_root || (!wish.near && in_limits(arm, all[i]))) continue;
    const auto place = nearest_within_limits(arm, flange_in_base, all[i].values, reference);
    if (place) add_new(all, arm, solution_at(arm, flange_in_base, *place));
  }
  if (any_in_limits()) return solutions;
  const NearestPose nearest = nearest_pose(arm, {Pose::Identity(), flange_in_base}, WithinLimits::yes);
  const auto place = stance_near(arm, flange_in_base, nearest.values);
  if (place) add_new(all, arm, solution_at(arm, flange_in_base, *place));
  return solutions;
}

}  // namespace cellproof
