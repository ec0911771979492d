// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cycle/cycle.hpp"

#include <algorithm>

namespace cellproof {

std::string_view kind_name(StretchKind kind) {
  switch (kind) {
    case StretchKind::joint:
      return "joint";
    case StretchKind::linear:
      return "linear";
    case StretchKind::grip:
      return "grip";
    case StretchKind::release:
      return "release";
    case StretchKind::hold:
      return "hold";
    case StretchKind::unhold:
      return "unhold";
    case StretchKind::look:
      return "look";
    case StretchKind::wait:
      return "wait";
    case StretchKind::shift:
      return "shift";
    case StretchKind::machine:
      return "machine";
    case StretchKind::bring:
      return "bring";
    case StretchKind::remove:
      return "remove";
  }
  return "";
}

Pose shifted_pose(const Shifting& shifting, double share) {
  Pose pose = Pose::Identity();
  pose.translation() = (1 - share) * shifting.from.translation() + share * shifting.to.translation();
  pose.linear() = Eigen::Quaterniond(shifting.from.linear())
                      .slerp(share, Eigen::Quaterniond(shifting.to.linear()))
                      .toRotationMatrix();
  return pose;
}

double share_at(const Stretch& stretch, double time_s) {
  if (!stretch.motion.path.goes_nowhere()) return stretch.motion.law.at(time_s - stretch.start_s).s;
  const double length = stretch.end_s - stretch.start_s;
  return length > 0 ? std::clamp((time_s - stretch.start_s) / length, 0.0, 1.0) : 1.0;
}

double time_at(const Stretch& stretch, double share) {
  if (!stretch.motion.path.goes_nowhere()) return stretch.start_s + stretch.motion.law.time_at(share);
  return stretch.start_s + share * (stretch.end_s - stretch.start_s);
}

Joints joints_at(const Stretch& stretch, double time_s) {
  return stretch.motion.path.on_chain(share_at(stretch, time_s));
}

Arrangement arrangement_at(const Stretch& stretch, double time_s) {
  return arrangement_at_share(stretch, share_at(stretch, time_s));
}

Arrangement arrangement_at_share(const Stretch& stretch, double share) {
  Arrangement arrangement = *stretch.arrangement;
  for (const auto& shifting : stretch.shifts) arrangement.in_parent[shifting.frame] = shifted_pose(shifting, share);
  return arrangement;
}

Instant instant_at(const Scene& scene, const Stretch& stretch, double time_s) {
  return instant(scene, arrangement_at(stretch, time_s), joints_at(stretch, time_s));
}

Instant instant_at_share(const Scene& scene, const Stretch& stretch, double share) {
  return instant(scene, arrangement_at_share(stretch, share), stretch.motion.path.on_chain(share));
}

const Stretch& stretch_at(const CycleRun& run, double time_s) {
  const auto later = std::upper_bound(run.stretches.begin(), run.stretches.end(), time_s,
                                      [](double time, const Stretch& stretch) { return time < stretch.start_s; });
  return later == run.stretches.begin() ? run.stretches.front() : *std::prev(later);
}

}  // namespace cellproof
