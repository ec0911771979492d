// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/configurations.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "kinematics/inverse.hpp"
#include "scene/arm_reach.hpp"

namespace cellproof {

namespace {

/// A leg's target in the base frame, for the arm as it stands.
struct BaseGoal {
  Pose tcp_in_base, tcp_in_flange;
};

Pose tcp_in_flange_of(const Scene& scene, const Leg& leg, const ArmFrames& links) {
  if (leg.target->tcp < 0) return Pose::Identity();
  const int frame = scene.frame_named(scene.cell.tcps[static_cast<std::size_t>(leg.target->tcp)].name);
  return world_pose(scene, *leg.arrangement, links, scene.flange_frame).inverse() *
         world_pose(scene, *leg.arrangement, links, frame);
}

BaseGoal goal_of(const Scene& scene, const Leg& leg, const Joints& joints) {
  const ArmFrames links = arm_frames(scene.cell.arm.arm, joints);
  BaseGoal goal;
  goal.tcp_in_flange = tcp_in_flange_of(scene, leg, links);
  if (const auto* values = std::get_if<Joints>(&leg.target->to)) {
    goal.tcp_in_base = flange_in_base(scene.cell.arm.arm, *values) * goal.tcp_in_flange;
    return goal;
  }
  const auto& target = std::get<FrameTarget>(leg.target->to);
  const Pose base_in_world = world_pose(scene, *leg.arrangement, links, scene.base_frame);
  goal.tcp_in_base = base_in_world.inverse() * world_pose(scene, *leg.arrangement, links, target.frame) * target.at;
  return goal;
}

std::string joint_list(const Joints& values) {
  std::string text;
  for (int j = 0; j < 6; ++j) text += fmt::format("{}{:.2f}", j ? ", " : "", degrees(values[j]));
  return text;
}

// ---- lines ----

PlanFailure line_failure(const Leg& leg, const LineFailure& stopped, double length_mm) {
  PlanFailure failure;
  failure.step = leg.step;
  failure.step_index = leg.step_index;
  failure.measured = stopped.at_mm;
  failure.required = length_mm;
  switch (stopped.why) {
    case LineStop::half_turn:
      failure.why = PlanFailure::Why::wrong_state;
      failure.message = "the line would have to turn the tool by 180 deg, which has no unique axis";
      failure.mend = "put a pose between, or turn in a joint move";
      return failure;
    case LineStop::out_of_reach:
      failure.why = PlanFailure::Why::out_of_reach;
      failure.message =
          fmt::format("the arm is stretched out after {:.1f} mm of the {:.1f} mm line", stopped.at_mm, length_mm);
      failure.mend = "shorten the line, or bring the arm and the seat closer together";
      return failure;
    case LineStop::singularity:
      failure.why = PlanFailure::Why::singularity;
      failure.message = fmt::format("a singular pose stops the line after {:.1f} mm of {:.1f} mm, at joints {} deg",
                                    stopped.at_mm, length_mm, joint_list(stopped.values));
      failure.mend = "come from another side, start from another solution (`near`), or use a joint move";
      return failure;
  }
  return failure;
}

/// Where along a path a joint first leaves its limits, if it does.
std::optional<PlanFailure> limit_failure(const Arm& arm, const Leg& leg, const Path& path, double length_mm) {
  for (const Knot& knot : path.knots()) {
    const double margin = limit_margin(arm, knot.values);
    if (margin >= -1e-9) continue;
    PlanFailure failure;
    failure.why = PlanFailure::Why::limits;
    failure.step = leg.step;
    failure.step_index = leg.step_index;
    failure.measured = degrees(margin);
    failure.required = 0;
    std::string joint = "a sum of joints";
    for (int j = 0; j < 6; ++j) {
      const auto& limit = arm.limits[static_cast<std::size_t>(j)];
      if (knot.values[j] < limit.min - 1e-9)
        joint = fmt::format("joint {} (least {:.2f} deg)", j + 1, degrees(limit.min));
      if (knot.values[j] > limit.max + 1e-9)
        joint = fmt::format("joint {} (most {:.2f} deg)", j + 1, degrees(limit.max));
    }
    failure.message = fmt::format("the line runs {} past its limit after {:.1f} mm of {:.1f} mm", joint,
                                  knot.s * length_mm, length_mm);
    failure.mend = "turn the pallet or the grasp, come from another side, or start from another solution (`near`)";
    return failure;
  }
  return std::nullopt;
}

/// One linear leg from given joints.
tl::expected<Path, PlanFailure> run_line(const Scene& scene, const Leg& leg, const Joints& from) {
  const Arm& arm = scene.cell.arm.arm;
  const BaseGoal goal = goal_of(scene, leg, from);
  LineRequest request;
  request.target.tcp_in_flange = goal.tcp_in_flange;
  request.target.start_in_base = flange_in_base(arm, from) * goal.tcp_in_flange;
  request.target.end_in_base = goal.tcp_in_base;
  request.start = from;
  request.reach_mm = reach_from_axes(scene, leg.held_part);
  const double length = request.target.distance_mm();
  auto path = follow_line(arm, request);
  if (!path) return tl::unexpected(line_failure(leg, path.error(), length));
  if (auto failure = limit_failure(arm, leg, *path, length)) return tl::unexpected(*failure);
  if (const auto* values = std::get_if<Joints>(&leg.target->to);
      values && (path->end() - *values).cwiseAbs().maxCoeff() > 1e-6) {
    PlanFailure failure;
    failure.why = PlanFailure::Why::wrong_state;
    failure.step = leg.step;
    failure.step_index = leg.step_index;
    failure.message =
        fmt::format("the line ends at joints {} deg, another solution than the one asked for", joint_list(path->end()));
    failure.mend = "start from the solution that leads there, or give the end as a pose";
    return tl::unexpected(failure);
  }
  return std::move(*path);
}

/// The lines that follow a joint leg, from given joints.
tl::expected<std::vector<Way>, NoWay> run_lines(const Scene& scene, std::span<const Leg> legs, Joints from) {
  std::vector<Way> ways;
  for (std::size_t i = 0; i < legs.size(); ++i) {
    if (!legs[i].target) continue;
    auto path = run_line(scene, legs[i], from);
    if (!path) return tl::unexpected(NoWay{path.error(), i});
    from = path->end();
    ways.push_back({std::move(*path)});
  }
  return ways;
}

// ---- solutions ----

/// Candidates in the contract's order.
void put_in_order(std::vector<Joints>& candidates, const Arm& arm, const Joints& from,
                  const std::optional<Joints>& near, const SpeedSettings& speeds) {
  using Key = std::array<double, 7>;  // the cost, then the joint values, without the rounding of their computation
  const auto rounded = [](double value) { return std::round(value * 1e8); };
  const auto key = [&](const Joints& to) {
    Key mine{rounded(near ? (to - *near).cwiseAbs().maxCoeff() : joint_motion(arm, from, to, speeds).duration())};
    for (int j = 0; j < 6; ++j) mine[static_cast<std::size_t>(j) + 1] = rounded(to[j]);
    return mine;
  };
  std::vector<std::pair<Key, Joints>> keyed;
  for (const auto& candidate : candidates) keyed.emplace_back(key(candidate), candidate);
  std::sort(keyed.begin(), keyed.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (std::size_t i = 0; i < candidates.size(); ++i) candidates[i] = keyed[i].second;
}

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

PlanFailure failure_of(const Leg& leg, PlanFailure::Why why) {
  PlanFailure failure;
  failure.why = why;
  failure.step = leg.step;
  failure.step_index = leg.step_index;
  return failure;
}

PlanFailure unreached(const Arm& arm, const Leg& leg, const Joints& from, const Pose& flange_goal) {
  PlanFailure failure = failure_of(leg, PlanFailure::Why::out_of_reach);
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

/// Every solution is outside limits: names the one that misses by least.
PlanFailure outside_limits(const Arm& arm, const Leg& leg, const std::vector<Solution>& solutions) {
  PlanFailure failure = failure_of(leg, PlanFailure::Why::limits);
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

struct Candidates {
  std::vector<Joints> joints;
  std::optional<PlanFailure> failure;
};

Candidates candidates_for(const Scene& scene, const Leg& leg, const Joints& from) {
  const Arm& arm = scene.cell.arm.arm;
  if (const auto* values = std::get_if<Joints>(&leg.target->to)) return {{*values}, std::nullopt};
  const BaseGoal goal = goal_of(scene, leg, from);
  const Pose flange_goal = goal.tcp_in_base * goal.tcp_in_flange.inverse();
  const auto solutions = inverse(arm, flange_goal, from);
  if (!solutions) {
    PlanFailure failure = failure_of(leg, PlanFailure::Why::no_method);
    failure.message = solutions.error();
    failure.mend = "give this target as joint values";
    return {{}, failure};
  }
  if (solutions->all.empty()) return {{}, unreached(arm, leg, from, flange_goal)};
  Candidates found;
  for (const auto& solution : solutions->all)
    for (const auto& turned : whole_turns(arm, solution.values)) found.joints.push_back(turned);
  if (found.joints.empty()) return {{}, outside_limits(arm, leg, solutions->all)};
  put_in_order(found.joints, arm, from, std::get<FrameTarget>(leg.target->to).near,
               scene.cell.cycle->steps[static_cast<std::size_t>(leg.step_index)].speeds);
  return found;
}

}  // namespace

std::size_t legs_together(std::span<const Leg> legs) {
  std::size_t count = 1;
  while (count < legs.size() && legs[count].kind != StretchKind::joint) ++count;
  return count;
}

tl::expected<std::vector<Way>, NoWay> find_ways(const Standing& standing, std::span<const Leg> legs) {
  if (legs.front().kind != StretchKind::joint) return run_lines(standing.scene, legs, standing.joints);
  const Candidates candidates = candidates_for(standing.scene, legs.front(), standing.joints);
  if (candidates.failure) return tl::unexpected(NoWay{*candidates.failure, 0});
  std::optional<NoWay> furthest;
  for (const auto& joints : candidates.joints) {
    auto lines = run_lines(standing.scene, legs.subspan(1), joints);
    if (!lines) {
      NoWay no_way = lines.error();
      ++no_way.failed_leg;
      if (!furthest || no_way.failed_leg > furthest->failed_leg) furthest = no_way;
      continue;
    }
    std::vector<Way> ways{{Path::joint(standing.joints, joints)}};
    for (auto& way : *lines) ways.push_back(std::move(way));
    return ways;
  }
  return tl::unexpected(*furthest);
}

}  // namespace cellproof
