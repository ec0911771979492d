// SPDX-License-Identifier: GPL-3.0-or-later
#include "kinematics/inverse/shortfall.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "kinematics/forward.hpp"
#include "kinematics/inverse/newton.hpp"
#include "kinematics/inverse/stances.hpp"
#include "kinematics/turn_lattice.hpp"

namespace cellproof {
namespace {

/// The choice of whole turns that leaves the limits by least.
Joints best_turns(const Arm& arm, const Joints& values) {
  Joints low, high;
  for (std::size_t j = 0; j < 6; ++j) {
    // Widened by half a turn on either side there is always a choice.
    low[static_cast<Eigen::Index>(j)] = arm.limits[j].min - pi;
    high[static_cast<Eigen::Index>(j)] = arm.limits[j].max + pi;
  }
  Joints best = values;
  for (const Joints& choice : TurnLattice(arm).within(values, low, high)) {
    if (limit_margin(arm, choice) > limit_margin(arm, best)) best = choice;
  }
  return best;
}

/// The joint (1 to 6) that is furthest past its limits; 0 if a sum is further.
int joint_past_limit(const Arm& arm, const Joints& values) {
  const double margin = limit_margin(arm, values);
  for (std::size_t j = 0; j < 6; ++j) {
    const double value = values[static_cast<Eigen::Index>(j)];
    if (std::min(value - arm.limits[j].min, arm.limits[j].max - value) <= margin) return static_cast<int>(j) + 1;
  }
  return 0;
}

/// Where the arm is stretched, the gap points away from its second axis; where it is folded, towards it or past it.
ReachStop out_or_in(const Arm& arm, const ReachRequest& request, const NearestPose& nearest) {
  const JointAxis shoulder = joint_axes(arm, arm_frames(arm, nearest.values))[1];
  const Vector3d to_tool = nearest.tool_in_base.translation() - shoulder.point;
  const Vector3d outward = to_tool - shoulder.direction * shoulder.direction.dot(to_tool);
  const Vector3d gap = request.tool_in_base.translation() - nearest.tool_in_base.translation();
  constexpr double plainly = 0.1;
  return gap.dot(outward) > plainly * gap.norm() * outward.norm() ? ReachStop::outside_reach : ReachStop::dead_zone;
}

std::string place_of(const NearestPose& nearest) {
  if (nearest.position_mm < 5e-4 && degrees(nearest.angle) < 5e-3) return "";
  const Vector3d at = nearest.tool_in_base.translation();
  return fmt::format(
      "the nearest pose within the limits, at ({:.2f}, {:.2f}, {:.2f}) in the base's frame, is {:.2f} mm "
      "and {:.2f} deg short",
      at.x(), at.y(), at.z(), nearest.position_mm, degrees(nearest.angle));
}

}  // namespace

Shortfall shortfall(const Arm& arm, const ReachRequest& request) {
  Shortfall result;
  const Pose flange_in_base = request.tool_in_base * request.tool_in_flange.inverse();
  result.nearest = nearest_pose(arm, request, WithinLimits::yes);
  const auto solutions = stances(arm, flange_in_base, {result.nearest.values, std::nullopt});
  Joints best = result.nearest.values;
  bool any = false;
  for (const Solution& solution : solutions ? solutions->all : std::vector<Solution>{}) {
    const Joints turned = best_turns(arm, solution.values);
    if (!any || limit_margin(arm, turned) > limit_margin(arm, best)) best = turned;
    any = true;
  }
  // What the search lands on exactly is a way to stand there, however the arm is built.
  if (!stands_at(arm, flange_in_base, best))
    best = stance_near(arm, flange_in_base, result.nearest.values).value_or(best);
  if (stands_at(arm, flange_in_base, best)) {
    result.nearest = stand_at(arm, request, best);
    return result;
  }
  if (any) {
    result.stop = ReachStop::limit;
    result.joint = joint_past_limit(arm, best);
    result.over_limit = -limit_margin(arm, best);
    return result;
  }
  const NearestPose free = nearest_pose(arm, request, WithinLimits::no);
  if (settle(arm, Pose::Identity(), flange_in_base, free.values, length_scale(arm))) {
    result.stop = ReachStop::limit;
    return result;
  }
  // The nearest pose trades a trace of position for a lot of turn.
  const double length = length_scale(arm);
  const bool by_position = free.position_mm > 1e-5 * length || free.position_mm > free.angle * length;
  result.stop = by_position ? out_or_in(arm, request, free) : ReachStop::turn;
  return result;
}

std::string described(const Shortfall& shortfall) {
  const std::string nearest = place_of(shortfall.nearest);
  switch (shortfall.stop) {
    case ReachStop::nothing:
      return "the pose can be taken";
    case ReachStop::outside_reach:
      return "the point is outside the arm's reach; " + nearest;
    case ReachStop::dead_zone:
      return "the point is inside the arm's dead zone, too near to it; " + nearest;
    case ReachStop::turn:
      return "the point can be reached, but not with this turn of the tool; " + nearest;
    case ReachStop::limit:
      if (!(shortfall.over_limit > 0)) return "the joint limits stop the arm; " + nearest;
      return fmt::format("{} would have to go {:.2f} deg past its limit; {}",
                         shortfall.joint > 0 ? fmt::format("joint {}", shortfall.joint) : "a sum of joints",
                         degrees(shortfall.over_limit), nearest);
  }
  return nearest;
}

}  // namespace cellproof
