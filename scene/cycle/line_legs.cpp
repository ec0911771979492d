// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/line_legs.hpp"

#include <fmt/format.h>

#include "kinematics/arm.hpp"
#include "kinematics/entry.hpp"
#include "scene/cycle/arm_reach.hpp"
#include "scene/cycle/leg_goal.hpp"
#include "scene/cycle/other_way.hpp"

namespace cellproof {

namespace {

std::string joint_list(const Joints& values) {
  std::string text;
  for (int j = 0; j < 6; ++j) text += fmt::format("{}{:.2f}", j ? ", " : "", degrees(values[j]));
  return text;
}

PlanFailure line_failure(const Cell& cell, const Leg& leg, const LineFailure& stopped, double length_mm) {
  PlanFailure failure = failure_at(leg, PlanFailure::Why::wrong_state);
  failure.measured = stopped.at_mm;
  failure.required = length_mm;
  failure.unit = "mm";
  switch (stopped.why) {
    case LineStop::half_turn:
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
      failure.mend = other_way(cell, leg.step_index) + ", or move the seat or the arm";
      return failure;
  }
  return failure;
}

/// Where along a path a joint first leaves its limits, if it does.
std::optional<PlanFailure> limit_failure(const Cell& cell, const Leg& leg, const Path& path, double length_mm) {
  const Arm& arm = cell.arm.arm;
  for (const Knot& knot : path.knots()) {
    const double margin = limit_margin(arm, knot.values);
    if (margin >= -1e-9) continue;
    PlanFailure failure = failure_at(leg, PlanFailure::Why::limits);
    failure.measured = degrees(margin);
    failure.required = 0;
    failure.unit = "deg";
    std::string joint = "a sum of joints";
    for (int j = 0; j < 6; ++j) {
      const auto& limit = entry(arm.limits, j);
      if (knot.values[j] < limit.min - 1e-9)
        joint = fmt::format("joint {} (least {:.2f} deg)", j + 1, degrees(limit.min));
      if (knot.values[j] > limit.max + 1e-9)
        joint = fmt::format("joint {} (most {:.2f} deg)", j + 1, degrees(limit.max));
    }
    failure.message = fmt::format("the line runs {} past its limit after {:.1f} mm of {:.1f} mm", joint,
                                  knot.s * length_mm, length_mm);
    failure.mend = other_way(cell, leg.step_index) + ", or turn what it leads to";
    return failure;
  }
  return std::nullopt;
}

/// One linear leg from given joints.
tl::expected<Path, PlanFailure> follow(const Scene& scene, const Leg& leg, const Joints& from) {
  const Arm& arm = scene.cell.arm.arm;
  const LegGoal goal = goal_of(scene, leg, from);
  LineRequest request;
  request.target.tcp_in_flange = goal.tcp_in_flange;
  request.target.start_in_base = flange_in_base(arm, from) * goal.tcp_in_flange;
  request.target.end_in_base = goal.tcp_in_base;
  request.start = from;
  request.reach_mm = reach_from_axes(scene, leg.held_part);
  auto path = follow_line(arm, request);
  if (!path) return tl::unexpected(line_failure(scene.cell, leg, path.error(), request.target.distance_mm()));
  return std::move(*path);
}

/// A line to joint values that ends at another solution of the same pose.
std::optional<PlanFailure> other_end(const Leg& leg, const Path& path) {
  const auto* values = std::get_if<Joints>(&leg.target->to);
  if (!values || (path.end() - *values).cwiseAbs().maxCoeff() <= 1e-6) return std::nullopt;
  PlanFailure failure = failure_at(leg, PlanFailure::Why::wrong_state);
  failure.message =
      fmt::format("the line ends at joints {} deg, another solution than the one asked for", joint_list(path.end()));
  failure.mend = "start from the solution that leads there, or give the end as a pose";
  return failure;
}

}  // namespace

PlanFailure failure_at(const Leg& leg, PlanFailure::Why why) {
  PlanFailure failure;
  failure.why = why;
  failure.step = leg.step;
  failure.step_index = leg.step_index;
  return failure;
}

FollowedLines follow_lines(const Scene& scene, std::span<const Leg> legs, Joints from) {
  FollowedLines followed;
  for (std::size_t i = 0; i < legs.size(); ++i) {
    if (!legs[i].target) continue;
    auto path = follow(scene, legs[i], from);
    if (!path) {
      followed.stopped = NoWay{path.error(), i};
      break;
    }
    from = path->end();
    followed.ways.push_back({std::move(*path)});
  }
  return followed;
}

tl::expected<std::vector<Way>, NoWay> lines_within_limits(const Scene& scene, std::span<const Leg> legs,
                                                          const FollowedLines& lines, const Joints& offset) {
  std::vector<Way> ways;
  for (std::size_t i = 0; i < legs.size() && ways.size() < lines.ways.size(); ++i) {
    if (!legs[i].target) continue;
    Path path = lines.ways[ways.size()].path.turned(offset);
    if (auto failure = limit_failure(scene.cell, legs[i], path, path.target().distance_mm()))
      return tl::unexpected(NoWay{*failure, i});
    if (auto failure = other_end(legs[i], path)) return tl::unexpected(NoWay{*failure, i});
    ways.push_back({std::move(path)});
  }
  if (lines.stopped) return tl::unexpected(*lines.stopped);
  return ways;
}

tl::expected<std::vector<Way>, NoWay> run_lines(const Scene& scene, std::span<const Leg> legs, const Joints& from) {
  return lines_within_limits(scene, legs, follow_lines(scene, legs, from), Joints::Zero());
}

}  // namespace cellproof
