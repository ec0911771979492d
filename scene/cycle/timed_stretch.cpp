// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/timed_stretch.hpp"

namespace cellproof {

namespace {

Stretch stretch_of(const Leg& leg) {
  Stretch stretch;
  stretch.step = leg.step;
  stretch.step_index = leg.step_index;
  stretch.kind = leg.kind;
  stretch.arrangement = leg.arrangement;
  stretch.held_part = leg.held_part;
  stretch.holding_tcp = leg.holding_tcp;
  stretch.grasp_turn = leg.grasp_turn;
  stretch.contact = leg.contact;
  stretch.shifts = leg.shifts;
  return stretch;
}

}  // namespace

const SpeedSettings& speeds_of(const Scene& scene, const Leg& leg) {
  return scene.cell.cycle->steps[leg.step_index].speeds;
}

Stretch timed_stretch(const Scene& scene, const Leg& leg, const Way* way, const Joints& standing, double start_s) {
  Stretch stretch = stretch_of(leg);
  stretch.start_s = start_s;
  if (!way) {
    stretch.motion.path = Path::joint(standing, standing);
    stretch.end_s = start_s + leg.dwell;
    return stretch;
  }
  if (leg.kind == StretchKind::linear) {
    LinearTiming timing = linear_motion(scene.cell.arm.arm, way->path, speeds_of(scene, leg));
    stretch.line = timing.line;
    stretch.motion = std::move(timing.motion);
  } else {
    stretch.motion = joint_motion(scene.cell.arm.arm, way->path.start(), way->path.end(), speeds_of(scene, leg));
  }
  stretch.end_s = start_s + stretch.motion.duration();
  return stretch;
}

}  // namespace cellproof
