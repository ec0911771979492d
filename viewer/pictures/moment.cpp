// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/moment.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "kinematics/motion/frame_motion.hpp"

namespace cellproof {

namespace {

/// Frame of the tcp that is spoken of, the flange's without one.
FrameId tool_frame(const Scene& scene, Moment& moment) {
  const auto& tcps = scene.cell.tcps;
  if (tcps.empty()) return scene.flange_frame;
  const TcpId holding = moment.stretch ? moment.stretch->holding_tcp : TcpId{};
  moment.tcp = holding ? tcps[holding].name : tcps.front().name;
  return scene.frame_named(moment.tcp);
}

void tell_speeds(const Scene& scene, Moment& moment) {
  const FrameId tool = tool_frame(scene, moment);
  if (!moment.stretch || moment.stretch->motion.path.goes_nowhere()) return;
  const Arm& arm = scene.cell.arm.arm;
  const MotionPoint point = motion_at(arm, moment.stretch->motion, moment.time_s - moment.stretch->start_s);
  moment.joint_speeds = point.speeds;
  const auto& world = moment.at.frame_in_world;
  const Pose tool_in_link = world[scene.link_frame[6]].inverse() * world[tool];
  const Twist velocity = frame_motion(arm, point, 6, tool_in_link).velocity;
  moment.tool_speed = velocity.head<3>().norm();
  moment.tool_turn_speed = velocity.tail<3>().norm();
}

/// A look takes no time: at its instant the step before ends and the next begins.
const Stretch& stretch_of(const CycleRun& run, double time_s, const std::string& step) {
  constexpr double slack_s = 1e-9;
  const Stretch* found = nullptr;
  for (const Stretch& stretch : run.stretches)
    if (stretch.step == step && stretch.start_s <= time_s + slack_s && time_s <= stretch.end_s + slack_s)
      found = &stretch;
  return found ? *found : stretch_at(run, time_s);
}

}  // namespace

Moment moment_of(const Scene& scene, const Cycle& cycle, std::size_t run, double time_s, const std::string& step) {
  const CycleRun& planned = cycle.runs[run];
  Moment moment;
  moment.run = run;
  moment.time_s = std::clamp(time_s, 0.0, planned.duration_s);
  if (planned.stretches.empty()) {
    moment.arrangement = planned.at_end.parent.empty() ? stated_arrangement(scene) : planned.at_end;
    moment.joints = scene.cell.cycle->start;
  } else {
    moment.stretch = &stretch_of(planned, moment.time_s, step);
    moment.arrangement = arrangement_at(*moment.stretch, moment.time_s);
    moment.joints = joints_at(*moment.stretch, moment.time_s);
    if (const PartId part = moment.stretch->held_part) moment.held_part = scene.cell.parts[part].name;
  }
  moment.at = instant(scene, moment.arrangement, moment.joints);
  tell_speeds(scene, moment);
  return moment;
}

std::string moment_words(const Cycle& cycle, const Moment& moment) {
  const std::string& run = cycle.runs[moment.run].name;
  std::string words = fmt::format("{}{:.2f} s", run.empty() ? "" : run + ", ", moment.time_s);
  if (moment.stretch) words += fmt::format(", step \"{}\"", moment.stretch->step);
  return words;
}

}  // namespace cellproof
