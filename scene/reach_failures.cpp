// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/reach_failures.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "kinematics/path.hpp"
#include "scene/line_legs.hpp"

namespace cellproof {

namespace {

/// How near to the goal the arm gets on the straight way from where it stands (mm and rad still to go).
std::pair<double, double> left_to_go(const Arm& arm, const Pose& flange_from, const Pose& flange_goal) {
  LinearTarget way;
  way.start_in_base = flange_from;
  way.end_in_base = flange_goal;
  double reached = 0, missed = 1;
  for (int i = 0; i < 30; ++i) {
    const double middle = 0.5 * (reached + missed);
    const auto solutions = inverse(arm, way.at(middle));
    (solutions && !solutions->all.empty() ? reached : missed) = middle;
  }
  return {(1 - reached) * way.distance_mm(), (1 - reached) * way.angle()};
}

}  // namespace

PlanFailure unreached(const Arm& arm, const Leg& leg, const Joints& from, const Pose& flange_goal) {
  PlanFailure failure = failure_at(leg, PlanFailure::Why::out_of_reach);
  const auto [mm, angle] = left_to_go(arm, flange_in_base(arm, from), flange_goal);
  failure.measured = mm;
  failure.required = 0;
  failure.message = fmt::format(
      "no joint solution reaches the pose, limits left aside; on the straight way from where it stands the arm stops "
      "{:.1f} mm "
      "and {:.1f} deg short",
      mm, degrees(angle));
  failure.mend = "bring the seat and the arm closer together, or turn the tool";
  return failure;
}

PlanFailure outside_limits(const Arm& arm, const Leg& leg, const std::vector<Solution>& solutions) {
  PlanFailure failure = failure_at(leg, PlanFailure::Why::limits);
  const Solution* best = &solutions.front();
  for (const auto& solution : solutions)
    if (limit_margin(arm, solution.values) > limit_margin(arm, best->values)) best = &solution;
  std::string which = "a sum of joints leaves its limits";
  double worst = 0;
  for (int j = 0; j < 6; ++j) {
    const auto& limit = arm.limits[static_cast<std::size_t>(j)];
    const double over = std::max(limit.min - best->values[j], best->values[j] - limit.max);
    if (over <= worst) continue;
    worst = over;
    which = fmt::format("joint {} would stand at {:.2f} deg, allowed are {:.2f} to {:.2f} deg", j + 1,
                        degrees(best->values[j]), degrees(limit.min), degrees(limit.max));
  }
  failure.measured = degrees(limit_margin(arm, best->values));
  failure.required = 0;
  failure.message = fmt::format("all {} solutions are outside the limits; nearest: {}", solutions.size(), which);
  failure.mend = "turn the seat or the grasp, or move the seat or the arm";
  return failure;
}

}  // namespace cellproof
