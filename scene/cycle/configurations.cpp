// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/configurations.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "kinematics/entry.hpp"
#include "kinematics/inverse/shortfall.hpp"
#include "kinematics/inverse/stances.hpp"
#include "scene/cycle/leg_goal.hpp"
#include "scene/cycle/reach_failures.hpp"

namespace cellproof {

namespace {

/// Candidates in the contract's order.
void put_in_order(std::vector<Candidate>& candidates, const Arm& arm, const Joints& from,
                  const std::optional<Joints>& near, const SpeedSettings& speeds) {
  using Key = std::array<double, 7>;  // the cost, then the joint values, without the rounding of their computation
  const auto rounded = [](double value) { return std::round(value * 1e8); };
  const auto key = [&](const Joints& to) {
    Key mine{rounded(near ? (to - *near).cwiseAbs().maxCoeff() : joint_motion(arm, from, to, speeds).duration())};
    for (int j = 0; j < 6; ++j) entry(mine, j + 1) = rounded(to[j]);
    return mine;
  };
  std::vector<std::pair<Key, Candidate>> keyed;
  for (const auto& candidate : candidates) keyed.emplace_back(key(candidate.joints), candidate);
  std::sort(keyed.begin(), keyed.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (std::size_t i = 0; i < candidates.size(); ++i) candidates[i] = keyed[i].second;
}

}  // namespace

std::vector<Candidate> candidates_for(const Standing& standing, const Leg& leg) {
  const Arm& arm = standing.scene.cell.arm.arm;
  if (const auto* values = std::get_if<Joints>(&leg.target->to)) return {{*values, 0}};
  const Pose flange_in_base = goal_of(standing.scene, leg, standing.joints).flange_in_base();
  const auto solutions = stances(arm, flange_in_base, {standing.joints, std::get<FrameTarget>(leg.target->to).near});
  if (!solutions) return {};
  std::vector<Candidate> found;
  for (std::size_t i = 0; i < solutions->all.size(); ++i)
    for (const auto& turned : whole_turns(arm, solutions->all[i].values)) found.push_back({turned, i});
  put_in_order(found, arm, standing.joints, std::get<FrameTarget>(leg.target->to).near,
               standing.scene.cell.cycle->steps[leg.step_index].speeds);
  return found;
}

tl::expected<Candidate, PlanFailure> last_candidate(const Standing& standing, const Leg& leg) {
  const Arm& arm = standing.scene.cell.arm.arm;
  const LegGoal goal = goal_of(standing.scene, leg, standing.joints);
  const auto solutions = inverse(arm, goal.flange_in_base(), standing.joints);
  if (solutions) {
    const Shortfall found = shortfall(arm, {goal.tcp_in_flange, goal.tcp_in_base});
    if (found.stop != ReachStop::nothing) return tl::unexpected(unreached(leg, found));
    return Candidate{found.nearest.values, solutions->all.size()};
  }
  PlanFailure failure = failure_at(leg, PlanFailure::Why::no_method);
  failure.message = solutions.error();
  failure.mend = "give this target as joint values";
  return tl::unexpected(failure);
}

std::size_t legs_together(std::span<const Leg> legs) {
  std::size_t count = 1;
  while (count < legs.size() && legs[count].kind != StretchKind::joint) ++count;
  return count;
}

tl::expected<std::vector<Way>, NoWay> find_ways(const Standing& standing, std::span<const Leg> legs) {
  if (legs.front().kind != StretchKind::joint) return run_lines(standing.scene, legs, standing.joints);
  auto candidates = candidates_for(standing, legs.front());
  if (candidates.empty()) {
    const auto last = last_candidate(standing, legs.front());
    if (!last) return tl::unexpected(NoWay{last.error(), 0});
    candidates.push_back(*last);
  }
  std::optional<NoWay> furthest;
  for (const auto& candidate : candidates) {
    auto lines = run_lines(standing.scene, legs.subspan(1), candidate.joints);
    if (!lines) {
      NoWay no_way = lines.error();
      ++no_way.failed_leg;
      if (!furthest || no_way.failed_leg > furthest->failed_leg) furthest = no_way;
      continue;
    }
    std::vector<Way> ways{{Path::joint(standing.joints, candidate.joints)}};
    for (auto& way : *lines) ways.push_back(std::move(way));
    return ways;
  }
  return tl::unexpected(*furthest);
}

}  // namespace cellproof
